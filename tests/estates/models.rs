//! Real buildings of the shared data set, read as slopes. The files are absent from the project: 3D BAG by tudelft3d and
//! 3DGI, CC BY 4.0. Where they are not there, the tests say so and pass.

use std::path::PathBuf;

use slopewright::TakeOff;
use slopewright::city::{Beyond, CityBuilding, CityModel, CityTerms, FaceKind};
use slopewright::survey::EdgeRole;

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

#[test]
fn stats() {
    let mut counts = std::collections::BTreeMap::new();
    for model in models() {
        println!(
            "{} buildings {} faults {:?}",
            model.buildings.len(),
            model.faults.len(),
            model.faults.first()
        );
        for building in &model.buildings {
            let plan: f64 = building.surfaces.iter().map(|s| s.plan_area_m2).sum();
            println!("{} {:?} {} {}", building.name, building.footprint_m2, plan, building.surfaces.len());
            for surface in &building.surfaces {
                *counts.entry(format!("face {}", surface.face.word())).or_insert(0) += 1;
                for edge in &surface.edges {
                    *counts
                        .entry(format!(
                            "{} beyond {} from {}",
                            edge.role.word(),
                            edge.beyond.word(),
                            surface.face.word()
                        ))
                        .or_insert(0) += 1;
                }
            }
        }
    }
    for (k, v) in counts {
        println!("{k}: {v}");
    }
}
