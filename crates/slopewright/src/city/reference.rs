//! Reference systems: whether coordinates are lengths at all.

use std::sync::OnceLock;

use serde::Deserialize;

use super::read::LengthUnit;

/// The built-in list of systems that are no metres.
#[derive(Debug, Deserialize)]
struct Listed {
    /// Systems in degrees.
    geographic: Vec<u32>,
    /// Systems in US survey feet.
    us_survey_feet: Vec<u32>,
}

fn listed() -> Option<&'static Listed> {
    static READ: OnceLock<Option<Listed>> = OnceLock::new();
    READ.get_or_init(|| toml::from_str(include_str!("../../data/reference-systems.toml")).ok()).as_ref()
}

/// What is known of a system's unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Degrees,
    Length(LengthUnit),
    Unknown,
}

/// The number at the end of a name of a system: `https://www.opengis.net/def/crs/EPSG/0/7415`, `urn:ogc:def:crs:EPSG::7415`,
/// `EPSG:7415`.
fn number(system: &str) -> Option<u32> {
    let digits = system.rsplit(['/', ':']).next()?;
    digits.trim().parse().ok()
}

pub(super) fn unit_of(system: &str) -> Unit {
    let is_epsg = system.to_ascii_uppercase().contains("EPSG");
    let name = system.to_ascii_uppercase();
    if name.contains("CRS84") || name.contains("CRS:84") {
        return Unit::Degrees;
    }
    match (number(system).filter(|_| is_epsg), listed()) {
        (Some(number), Some(listed)) if listed.geographic.contains(&number) => Unit::Degrees,
        (Some(number), Some(listed)) if listed.us_survey_feet.contains(&number) => {
            Unit::Length(LengthUnit::UsSurveyFoot)
        }
        _ => Unit::Unknown,
    }
}

/// Whether coordinates can only be degrees: a place on the globe, and everything within a few hundredths of a unit. No
/// building is that small in metres or feet.
pub(super) fn look_like_degrees(low: [f64; 3], high: [f64; 3]) -> bool {
    const MOST: f64 = 0.05;
    let is_on_globe = low[0].abs().max(high[0].abs()) <= 180.0 && low[1].abs().max(high[1].abs()) <= 180.0;
    let (across, along, up) = (high[0] - low[0], high[1] - low[1], high[2] - low[2]);
    is_on_globe && across.max(along) < MOST && up > across.max(along)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn systems_by_their_names() {
        // EPSG register, from memory: 4326 and 4979 are WGS 84 in degrees, 7415 is a Dutch system in metres, 2263 one in US
        // survey feet.
        for geographic in [
            "urn:ogc:def:crs:EPSG::4326",
            "https://www.opengis.net/def/crs/EPSG/0/4979",
            "EPSG:4258",
            "urn:ogc:def:crs:OGC:1.3:CRS84",
        ] {
            assert_eq!(unit_of(geographic), Unit::Degrees, "{geographic}");
        }
        assert_eq!(unit_of("https://www.opengis.net/def/crs/EPSG/0/7415"), Unit::Unknown);
        assert_eq!(unit_of("EPSG:2263"), Unit::Length(LengthUnit::UsSurveyFoot));
        assert_eq!(unit_of("something"), Unit::Unknown);
    }

    #[test]
    fn degrees_by_their_size() {
        assert!(look_like_degrees([4.36, 52.01, -0.4], [4.3601, 52.0101, 9.0]));
        // A local model in metres about its own origin.
        assert!(!look_like_degrees([0.0, 0.0, 0.0], [4.0, 3.0, 5.0]));
    }
}
