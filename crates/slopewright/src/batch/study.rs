//! Studies: one slope under every combination of pitches, coverings, gauges and overhangs.

use super::parallel::Rows;
use crate::error::Result;
use crate::quantity::Pitch;
use crate::survey::Measures;

/// A grid of choices for some slopes. An empty list leaves what the slope has; the last list turns fastest.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Study {
    /// The slopes.
    pub slopes: Vec<Measures>,
    /// Whether the corners and rafters stay as they are in plan when the pitch changes.
    pub keeps_plan: bool,
    /// Pitches, in degrees.
    pub pitches_deg: Vec<f64>,
    /// Keys of coverings.
    pub coverings: Vec<String>,
    /// Largest gauges, in metres.
    pub gauges_m: Vec<f64>,
    /// Overhangs at the eaves, in metres.
    pub eaves_overhangs_m: Vec<f64>,
}

/// One case of a study.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StudyCase<'a> {
    /// The slope's place in the list.
    pub slope: usize,
    /// The pitch, if it is of the study.
    pub pitch_deg: Option<f64>,
    /// The covering, if it is of the study.
    pub covering: Option<&'a str>,
    /// The largest gauge, if it is of the study.
    pub gauge_m: Option<f64>,
    /// The overhang at the eaves, if it is of the study.
    pub eaves_overhang_m: Option<f64>,
}

impl Study {
    /// The case with this number.
    #[must_use]
    pub fn case(&self, number: usize) -> Option<StudyCase<'_>> {
        if number >= self.count() {
            return None;
        }
        let mut rest = number;
        let mut turn = |count: usize| {
            let count = count.max(1);
            let at = rest % count;
            rest /= count;
            at
        };
        let overhang = turn(self.eaves_overhangs_m.len());
        let gauge = turn(self.gauges_m.len());
        let covering = turn(self.coverings.len());
        let pitch = turn(self.pitches_deg.len());
        Some(StudyCase {
            slope: rest,
            pitch_deg: self.pitches_deg.get(pitch).copied(),
            covering: self.coverings.get(covering).map(String::as_str),
            gauge_m: self.gauges_m.get(gauge).copied(),
            eaves_overhang_m: self.eaves_overhangs_m.get(overhang).copied(),
        })
    }
}

impl Rows for Study {
    fn count(&self) -> usize {
        let lists =
            [self.pitches_deg.len(), self.coverings.len(), self.gauges_m.len(), self.eaves_overhangs_m.len()];
        lists.into_iter().fold(self.slopes.len(), |all, count| all.saturating_mul(count.max(1)))
    }

    fn read(&self, at: usize, measures: &mut Measures) -> Result<()> {
        let Some((case, slope)) = self.case(at).and_then(|case| Some((case, self.slopes.get(case.slope)?)))
        else {
            return Ok(());
        };
        measures.clone_from(slope);
        if let Some(pitch_deg) = case.pitch_deg {
            if self.keeps_plan {
                let factor = |degrees: f64| Pitch::from_degrees(degrees).map(Pitch::slope_factor);
                if let (Some(before), Some(after)) = (slope.pitch_deg.and_then(factor), factor(pitch_deg)) {
                    measures.stretch_up(after / before);
                }
            }
            measures.pitch_deg = Some(pitch_deg);
        }
        if let Some(covering) = case.covering {
            covering.clone_into(&mut measures.covering);
        }
        measures.gauge_m = case.gauge_m.or(measures.gauge_m);
        measures.eaves_overhang_m = case.eaves_overhang_m.or(measures.eaves_overhang_m);
        Ok(())
    }
}
