//! A city model as tables.

use super::edges::CityEdge;
use super::read::{CityBuilding, CityModel, CitySurface};
use crate::output::{Table, count, figure, text};

fn number(value: usize) -> Option<u64> {
    u64::try_from(value).ok()
}

impl CityModel {
    /// The roof surfaces.
    #[must_use]
    pub fn surfaces_table(&self) -> Table {
        let all = || self.surfaces();
        Table {
            name: "surfaces",
            columns: vec![
                text("building", all().map(|(building, _)| building.name.clone())),
                text("object", all().map(|(_, surface)| surface.object.clone())),
                count("surface", all().map(|(_, surface)| number(surface.number))),
                text("face", all().map(|(_, surface)| surface.face.word().to_owned())),
                figure("pitch_deg", all().map(|(_, surface)| Some(surface.pitch_deg))),
                figure("facing_deg", all().map(|(_, surface)| Some(surface.facing_deg))),
                figure("out_of_plane_mm", all().map(|(_, surface)| Some(surface.out_of_plane_m * 1000.0))),
                figure("area_m2", all().map(|(_, surface)| Some(surface.area_m2))),
                figure("plan_area_m2", all().map(|(_, surface)| Some(surface.plan_area_m2))),
            ],
        }
    }

    /// The edges of the roof surfaces; what counts for the building counts a joint on the first of its sides only.
    #[must_use]
    pub fn edges_table(&self) -> Table {
        type Row<'a> = (&'a CityBuilding, &'a CitySurface, usize, &'a CityEdge);
        let all = || {
            self.surfaces().flat_map(|(building, surface)| {
                surface
                    .edges
                    .iter()
                    .enumerate()
                    .map(move |(at, edge)| -> Row<'_> { (building, surface, at, edge) })
            })
        };
        let other = |(.., edge): Row<'_>| edge.shared_with;
        let is_first = |row: Row<'_>| {
            let (_, surface, at, _) = row;
            other(row).is_none_or(|there| (surface.number.saturating_sub(1), at) < there)
        };
        Table {
            name: "edges",
            columns: vec![
                text("building", all().map(|(building, ..)| building.name.clone())),
                count("surface", all().map(|(_, surface, ..)| number(surface.number))),
                text("edge", all().map(|(_, _, at, _)| (at + 1).to_string())),
                text("role", all().map(|(.., edge)| edge.role.word().to_owned())),
                text("beyond", all().map(|(.., edge)| edge.beyond.word().to_owned())),
                figure("length_m", all().map(|(.., edge)| Some(edge.length_m))),
                figure("counted_length_m", all().map(|row| is_first(row).then_some(row.3.length_m))),
                text(
                    "shared_with",
                    all().map(|row| {
                        other(row).map_or_else(String::new, |(surface, edge)| {
                            format!("{}: {}", surface + 1, edge + 1)
                        })
                    }),
                ),
            ],
        }
    }
}
