//! What the tape may miss by: a survey with every measured length a little longer or shorter.

use super::document::{FormDocument, SlopeDocument, SurveyDocument};
use super::entry::{Entry, LengthText};
use super::joint::TOLERANCE_M;
use crate::quantity::{Length, LengthIn as _, m, read_length};

type Corners = Entry<Vec<Entry<Vec<Entry<LengthText>>>>>;

impl SurveyDocument {
    /// The survey with every measured length of its slopes and forms longer by so much (shorter if it is negative).
    ///
    /// An outline by its corners is stretched, to the right and up the slope. Left alone are pitches, openings (a window is
    /// bought by its size, and stands where it is wanted), and what is chosen and not measured: overhangs, clearances,
    /// gauges, rafter spacing.
    ///
    /// ```
    /// use slopewright::SurveyDocument;
    /// use slopewright::quantity::mm;
    /// let survey = SurveyDocument::from_toml(r#"
    ///     slopewright = 1
    ///     covering.format = "plain-tile-265x165"
    ///     [[slope]]
    ///     name = "front"
    ///     shape = "rectangle"
    ///     eaves = "4 m"
    ///     rafter = "3 m"
    ///     pitch = "40 deg"
    /// "#)?;
    /// let longer = survey.measured_longer(mm(10.0)).check()?;
    /// assert_eq!(longer.slopes[0].outline()[2].v, 3.01);
    /// # Ok::<(), slopewright::Error>(())
    /// ```
    #[must_use]
    pub fn measured_longer(&self, by: Length) -> Self {
        let mut survey = self.clone();
        for form in all(&mut survey.form) {
            form.stretch(by);
        }
        for slope in all(&mut survey.slope) {
            slope.stretch(by);
        }
        // Edges of unlike shapes do not grow alike: their joint may differ by that much more.
        for joint in all(&mut survey.joint) {
            let stated = length(&joint.tolerance).unwrap_or(m(TOLERANCE_M));
            if !matches!(joint.tolerance, Entry::Unreadable(_)) {
                joint.tolerance = Entry::Given(LengthText::from(stated + by.abs() * 2.0));
            }
        }
        survey
    }
}

impl FormDocument {
    fn stretch(&mut self, by: Length) {
        for entry in [
            &mut self.length,
            &mut self.span,
            &mut self.hip_height,
            &mut self.half_hip_eaves,
            &mut self.wing_span,
            &mut self.wing_length,
            &mut self.break_height,
            &mut self.lower_rafter,
        ] {
            add(entry, by);
        }
        stretch_corners(&mut self.points, by);
    }
}

impl SlopeDocument {
    fn stretch(&mut self, by: Length) {
        for entry in [
            &mut self.eaves,
            &mut self.ridge,
            &mut self.rafter,
            &mut self.left_rafter,
            &mut self.right_rafter,
            &mut self.left_diagonal,
            &mut self.right_diagonal,
        ] {
            add(entry, by);
        }
        stretch_corners(&mut self.points, by);
    }
}

/// What can be read of a list.
fn all<T>(list: &mut Entry<Vec<Entry<T>>>) -> impl Iterator<Item = &mut T> {
    let entries = match list {
        Entry::Given(entries) => entries.as_mut_slice(),
        Entry::Absent | Entry::Unreadable(_) => &mut [],
    };
    entries.iter_mut().filter_map(|entry| match entry {
        Entry::Given(found) => Some(found),
        Entry::Absent | Entry::Unreadable(_) => None,
    })
}

fn length(entry: &Entry<LengthText>) -> Option<Length> {
    entry.given().and_then(|text| read_length(&text.0).ok())
}

/// What cannot be read stays as it is: the check reports it.
fn add(entry: &mut Entry<LengthText>, by: Length) {
    if let Some(length) = length(entry) {
        *entry = Entry::Given(LengthText::from(length + by));
    }
}

/// Stretches corners about their middle, so that the whole is longer by so much both ways.
fn stretch_corners(corners: &mut Corners, by: Length) {
    for axis in 0..2 {
        let mut places: Vec<&mut Entry<LengthText>> =
            all(corners).filter_map(|pair| pair.get_mut(axis)).collect();
        let read: Vec<Length> = places.iter().filter_map(|place| length(place)).collect();
        let low = read.iter().map(|place| place.m()).fold(f64::INFINITY, f64::min);
        let high = read.iter().map(|place| place.m()).fold(f64::NEG_INFINITY, f64::max);
        if read.len() < places.len() || high - low < 1e-9 {
            continue;
        }
        let factor = (high - low + by.m()) / (high - low);
        let middle = f64::midpoint(low, high);
        for (place, read) in places.iter_mut().zip(read) {
            **place = Entry::Given(LengthText::from(m((read.m() - middle).mul_add(factor, middle))));
        }
    }
}
