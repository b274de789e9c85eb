//! Open 3D city models: the roof surfaces of `CityJSON` and `CityJSONSeq` files as slopes.
//!
//! A [`CityModel`] is read from text. Each roof surface is laid into the plane that fits its corners best; what its edges
//! are follows from the surfaces that share them: a ridge, hip, valley or change of pitch where another roof surface does,
//! an abutment where a wall goes up, eaves or a verge where one goes down. Coordinates are metres unless it is said
//! otherwise; a model in degrees is refused.
//!
//! ```
//! use slopewright::city::{CityModel, CityTerms};
//! // A lean-to of 4 m by 3 m that rises by 3 m: one roof surface and nothing else.
//! let model = CityModel::read(r#"{
//!     "type": "CityJSON", "version": "2.0",
//!     "transform": { "scale": [0.001, 0.001, 0.001], "translate": [0, 0, 0] },
//!     "vertices": [[0, 0, 2000], [4000, 0, 2000], [4000, 3000, 5000], [0, 3000, 5000]],
//!     "CityObjects": { "shed": { "type": "Building", "geometry": [{
//!         "type": "MultiSurface", "lod": "2", "boundaries": [[[0, 1, 2, 3]]],
//!         "semantics": { "surfaces": [{ "type": "RoofSurface" }], "values": [0] }
//!     }] } }
//! }"#, &CityTerms::default())?;
//! let surface = &model.buildings[0].surfaces[0];
//! assert!((surface.pitch_deg - 45.0).abs() < 1e-9);
//! assert!((surface.area_m2 - 12.0 * 2.0_f64.sqrt()).abs() < 1e-9);
//! # Ok::<(), slopewright::Error>(())
//! ```

mod document;
mod edges;
mod faces;
mod plane;
mod read;
mod reference;
mod survey;
mod tables;

pub use edges::{Beyond, CityEdge, CityJoint};
pub use read::{CityBuilding, CityModel, CitySurface, CityTerms, FaceKind, LengthUnit};
