//! Real buildings of the shared data set, read as slopes. The files are absent from the project: 3D BAG by tudelft3d and
//! 3DGI, CC BY 4.0. Where they are not there, the tests say so and pass. Small models of our own stand beside them.

use std::path::PathBuf;

use slopewright::city::{Beyond, CityBuilding, CityModel, CityTerms, FaceKind, LengthUnit};
use slopewright::survey::{CoveringDocument, EdgeRole, SurveyDocument};
use slopewright::{FaultKind, TakeOff};

/// The folder of the shared city models, if it is there.
fn folder() -> Option<PathBuf> {
    let stated = std::env::var_os("SLOPEWRIGHT_SHARED_DATA").map(PathBuf::from);
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let places = stated.map_or_else(
        || root.ancestors().map(|above| above.join("shared/data")).collect::<Vec<_>>(),
        |stated| vec![stated],
    );
    places.into_iter().map(|place| place.join("cityjson")).find(|place| place.is_dir())
}

pub(crate) fn models() -> Vec<CityModel> {
    let Some(folder) = folder() else {
        eprintln!("skipped: the shared data is not here; SLOPEWRIGHT_SHARED_DATA names its folder");
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = folder.read_dir().unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let read =
        |path: &PathBuf| CityModel::read(&std::fs::read_to_string(path).unwrap(), &CityTerms::default());
    paths
        .iter()
        .map(|path| read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display())))
        .collect()
}

fn real_buildings() -> Vec<CityBuilding> {
    models().into_iter().flat_map(|model| model.buildings).collect()
}

/// The buildings are closed solids: what the roofs cover in plan is the ground they stand on.
#[test]
fn projected_roofs_are_the_footprints() {
    for building in real_buildings() {
        let plan: f64 = building.surfaces.iter().map(|surface| surface.plan_area_m2).sum();
        let ground = building.footprint_m2.unwrap();
        assert!((plan - ground).abs() < 1e-6 * ground, "{}: {plan} and {ground}", building.name);
    }
}

/// Area on the slope and in plan differ by the cosine of the pitch, and each face is flat to the data's own rounding.
#[test]
fn pitches_and_areas_agree() {
    for building in real_buildings() {
        for surface in building.surfaces.iter().filter(|surface| surface.face == FaceKind::Slope) {
            let plan = surface.area_m2 * surface.pitch_deg.to_radians().cos();
            let place = format!("{} {}", building.name, surface.number);
            assert!((plan - surface.plan_area_m2).abs() < 2e-3 * plan, "{place}: {plan}");
            assert!(surface.out_of_plane_m < 2e-3, "{place}: {}", surface.out_of_plane_m);
        }
    }
}

/// The data's own README counts 165 slopes of 20 to 70 degrees.
#[test]
fn the_slopes_are_those_of_the_data_set() {
    let buildings = real_buildings();
    let tiled = buildings
        .iter()
        .flat_map(|building| &building.surfaces)
        .filter(|surface| surface.face == FaceKind::Slope && (20.0..=70.0).contains(&surface.pitch_deg));
    assert!(buildings.is_empty() || tiled.count() == 165);
}

/// Every edge between two roof surfaces is a joint, with one role for both sides and one length, counted once.
#[test]
fn every_interior_edge_is_a_joint_once() {
    let mut seen = 0;
    for building in real_buildings() {
        let mut sides = Vec::new();
        for joint in &building.joints {
            for (surface, edge) in joint.sides {
                let found = building.surfaces[surface].edges[edge];
                assert_eq!(found.role, joint.role, "{}", building.name);
                assert!((found.length_m - joint.length_m).abs() < 1e-9, "{}", building.name);
                sides.push((surface, edge));
            }
        }
        let count = sides.len();
        sides.sort_unstable();
        sides.dedup();
        assert_eq!(sides.len(), count, "{}: an edge in two joints", building.name);
        for surface in &building.surfaces {
            assert_eq!(surface.edges.len(), surface.corners.len());
            for edge in &surface.edges {
                assert_ne!(edge.beyond, Beyond::Nothing, "{}: a solid has no open edge", building.name);
                let is_roof = matches!(edge.beyond, Beyond::Slope | Beyond::OtherRoof);
                // Joints with the ring of a hole have one side only.
                assert!(is_roof || edge.shared_with.is_none());
                seen += usize::from(is_roof);
            }
        }
        let one_side: f64 = building.joints.iter().map(|joint| joint.length_m).sum();
        let both: f64 = (building.surfaces.iter().flat_map(|surface| &surface.edges))
            .filter(|edge| edge.shared_with.is_some())
            .map(|edge| edge.length_m)
            .sum();
        assert!((2.0 * one_side - both).abs() < 1e-6, "{}: {one_side} and {both}", building.name);
    }
    assert!(models().is_empty() || seen > 500, "{seen}");
}

/// As surveys the buildings pass the check, and ridges, hips and valleys between slopes count once.
#[test]
fn buildings_become_surveys_with_their_joints() {
    let base = SurveyDocument::new("estate").with_covering(CoveringDocument::new("plain-tile-265x165"));
    let mut joints = 0;
    for building in real_buildings() {
        let is_slope = |at: usize| building.surfaces[at].face == FaceKind::Slope;
        if !(0..building.surfaces.len()).any(is_slope) {
            continue;
        }
        let roof =
            building.survey(&base).check().unwrap_or_else(|error| panic!("{}: {error}", building.name));
        let take_off = TakeOff::of(&roof).unwrap();
        for role in [EdgeRole::Ridge, EdgeRole::Hip, EdgeRole::Valley] {
            let of_joints: f64 = (building.joints.iter())
                .filter(|joint| {
                    joint.role == role && joint.sides.iter().all(|(surface, _)| is_slope(*surface))
                })
                .map(|joint| joint.length_m)
                .sum();
            let taken: f64 =
                take_off.joints.iter().filter(|joint| joint.role == role).map(|joint| joint.length_m).sum();
            // Laid flat, an edge loses what its corners lie out of the plane: two millimetres at most.
            assert!(
                (of_joints - taken).abs()
                    < 2e-3 * f64::from(u32::try_from(take_off.joints.len()).unwrap()) + 1e-6
            );
            joints += take_off.joints.len();
        }
    }
    assert!(models().is_empty() || joints > 100, "{joints}");
}

/// A closed house of 10 m by 8 m: hipped on the left, a gable on the right, ridge 4 m over the eaves.
fn house(scale: f64) -> String {
    let at = |x: f64, y: f64, z: f64| format!("[{},{},{}]", x / scale, y / scale, z / scale);
    let corners = [
        at(0.0, 0.0, 0.0),
        at(10.0, 0.0, 0.0),
        at(10.0, 8.0, 0.0),
        at(0.0, 8.0, 0.0),
        at(0.0, 0.0, 3.0),
        at(10.0, 0.0, 3.0),
        at(10.0, 8.0, 3.0),
        at(0.0, 8.0, 3.0),
        at(4.0, 4.0, 7.0),
        at(10.0, 4.0, 7.0),
    ];
    format!(
        r#"{{"type":"CityJSON","version":"2.0","transform":{{"scale":[{scale},{scale},{scale}],"translate":[100000,400000,0]}},
        "vertices":[{}],"CityObjects":{{"house":{{"type":"Building","geometry":[{{"type":"Solid","lod":"2.2","boundaries":[[
        [[0,3,2,1]],[[0,1,5,4]],[[1,2,6,9,5]],[[2,3,7,6]],[[3,0,4,7]],[[4,5,9,8]],[[6,7,8,9]],[[7,4,8]]]],
        "semantics":{{"surfaces":[{{"type":"GroundSurface"}},{{"type":"WallSurface"}},{{"type":"RoofSurface"}}],
        "values":[[0,1,1,1,1,2,2,2]]}}}}]}}}}}}"#,
        corners.join(",")
    )
}

#[test]
fn a_house_by_hand() {
    let model = CityModel::read(&house(0.001), &CityTerms::default()).unwrap();
    let [building] = model.buildings.as_slice() else { panic!("one building") };
    assert!((building.footprint_m2.unwrap() - 80.0).abs() < 1e-9);
    let roles: Vec<Vec<&str>> = building
        .surfaces
        .iter()
        .map(|surface| surface.edges.iter().map(|edge| edge.role.word()).collect())
        .collect();
    assert_eq!(
        roles,
        [
            vec!["eaves", "verge", "ridge", "hip"],
            vec!["eaves", "hip", "ridge", "verge"],
            vec!["eaves", "hip", "hip"]
        ]
    );
    // By hand: 4 m up in 4 m is 45 degrees on all three; hips from (0, 0) to (4, 4) and 4 m up are the root of 48 long.
    for surface in &building.surfaces {
        assert!((surface.pitch_deg - 45.0).abs() < 1e-9);
    }
    let facing: Vec<f64> = building.surfaces.iter().map(|surface| surface.facing_deg.round()).collect();
    assert_eq!(facing, [180.0, 0.0, 270.0]);
    let length = |role| -> f64 {
        building.joints.iter().filter(|joint| joint.role == role).map(|joint| joint.length_m).sum()
    };
    assert!((length(EdgeRole::Hip) - 2.0 * 48.0_f64.sqrt()).abs() < 1e-9);
    assert!((length(EdgeRole::Ridge) - 6.0).abs() < 1e-9);
}

#[test]
fn the_unit_of_the_coordinates_counts() {
    let terms = |unit| CityTerms { unit: Some(unit), ..CityTerms::default() };
    let area =
        |unit| CityModel::read(&house(0.001), &terms(unit)).unwrap().buildings[0].footprint_m2.unwrap();
    // 0.3048 squared; and NIST: a US survey foot is 1200/3937 m.
    assert!((area(LengthUnit::Foot) / 80.0 - 0.092_903_04).abs() < 1e-9);
    assert!((area(LengthUnit::UsSurveyFoot) / 80.0 - (1200.0 / 3937.0_f64).powi(2)).abs() < 1e-9);
    // Another scale and offset of the same house change nothing.
    let other = CityModel::read(&house(0.01), &CityTerms::default()).unwrap();
    assert!((other.buildings[0].footprint_m2.unwrap() - 80.0).abs() < 1e-9);
}

#[test]
fn degrees_are_refused() {
    let with = |system: &str| {
        let named = format!(r#""metadata":{{"referenceSystem":"{system}"}},"vertices""#);
        CityModel::read(&house(0.001).replacen("\"vertices\"", &named, 1), &CityTerms::default())
    };
    assert!(with("https://www.opengis.net/def/crs/EPSG/0/7415").is_ok());
    let error = with("https://www.opengis.net/def/crs/EPSG/0/4979").unwrap_err();
    assert_eq!(error.kind(), FaultKind::ReferenceSystemGeographic);
    // Without a name they are told by their size: the house over a ten-thousandth of a degree.
    let small = r#"{"type":"CityJSON","version":"1.0","vertices":[[4.3,52.0,0],[4.3001,52.0,0],[4.3001,52.0001,5],[4.3,52.0001,5]],
        "CityObjects":{"a":{"type":"Building","geometry":[{"type":"MultiSurface","lod":2,"boundaries":[[[0,1,2,3]]],
        "semantics":{"surfaces":[{"type":"RoofSurface"}],"values":[0]}}]}}}"#;
    let error = CityModel::read(small, &CityTerms::default()).unwrap_err();
    assert_eq!(error.kind(), FaultKind::ReferenceSystemGeographic);
}

#[test]
fn a_bad_surface_is_left_out_and_told() {
    let broken = house(0.001).replace("[[6,7,8,9]]", "[[6,7,8,99]]");
    let model = CityModel::read(&broken, &CityTerms::default()).unwrap();
    assert_eq!(model.buildings[0].surfaces.len(), 2);
    let [fault] = model.faults.as_slice() else { panic!("{:?}", model.faults) };
    assert_eq!(fault.kind, FaultKind::CityModelUnreadable);
    assert!(fault.place.starts_with("building 'house', object 'house', surface 7"), "{}", fault.place);
}

#[test]
fn no_text_panics() {
    let sound = house(0.001);
    for text in ["", "{", "[]", "null", "{\"type\":\"CityJSON\"", "{\"type\":\"Else\"}", "\u{0}"] {
        assert!(CityModel::read(text, &CityTerms::default()).is_err(), "{text}");
    }
    // Cut off, or with any one sign changed: an answer or an error, never a panic.
    for at in (0..sound.len()).step_by(3) {
        let _ = CityModel::read(&sound[..at], &CityTerms::default());
        let mut bytes = sound.clone().into_bytes();
        for sign in *b"9-[]x" {
            bytes[at] = sign;
            let _ = CityModel::read(core::str::from_utf8(&bytes).unwrap(), &CityTerms::default());
        }
    }
}
