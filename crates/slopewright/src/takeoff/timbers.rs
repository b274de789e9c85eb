//! Timbers round an opening: rafters cut and added, headers, trimmers, hangers. They are counted for a section that the
//! user states; no size is ever chosen here.

use super::openings::OpeningRules;
use super::{Rafters, SlopeTakeOff, TakeOff};
use crate::quantity::LengthIn;
use crate::rules::HeaderLimits;
use crate::setout::Region;
use crate::survey::outline::bounds;
use crate::survey::{Flue, Opening};

/// Lengths closer than this are the same.
const NEAR_M: f64 = 1e-6;

/// The timbers round one opening.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningTimbers {
    /// The clear hole between the timbers: left, right, lower and upper side, in metres. Round a brick flue it keeps
    /// the flue's distance.
    pub clear_m: [f64; 4],
    /// The width of a rafter that was reckoned with, in metres; nothing if it is not stated.
    pub rafter_width_m: f64,
    /// Rafters cut.
    pub cut: u32,
    /// Rafters added beside the trimming ones, both sides together; `None` if the rule gives no number.
    pub added: Option<u32>,
    /// Their lengths together, in metres.
    pub added_length_m: f64,
    /// Their lengths one by one, in metres.
    pub added_lengths_m: Vec<f64>,
    /// Headers.
    pub headers: u32,
    /// The length of one, between the faces of the trimming rafters as they stand.
    pub header_m: f64,
    /// Trimmers at the sides where no rafter stands.
    pub trimmers: u32,
    /// The length of one.
    pub trimmer_m: f64,
    /// Hangers.
    pub hangers: u32,
    /// Nails in all hangers, if the holes of one are stated.
    pub hanger_nails: Option<u32>,
    /// Whether a rafter is missing at one of its sides.
    pub at_the_end: bool,
    /// How far it would have to stand to the right (left, if negative) to cut no rafter, where it is narrow enough.
    pub fits_if_moved_m: Option<f64>,
}

impl OpeningTimbers {
    /// Counts the timbers of an opening.
    pub(super) fn count(slope: &SlopeTakeOff, opening: &Opening, roof: &TakeOff) -> Option<Self> {
        let rafters = slope.battens.rafters.filter(|_| !opening.existing)?;
        let rules = roof.opening_rules.as_deref()?;
        let width = roof.timbers.rafter_width.map_or(0.0, LengthIn::m);
        let (low, high) = opening.bounds();
        let off = flue_clearance_m(opening, rules);
        let clear_m = [low.u - off, high.u + off, low.v - off, high.v + off];
        let outline = slope.slope.outline();
        let (first, last) = bounds(&outline);
        let centres: Vec<f64> = rafters.centres(first.u, last.u).collect();
        let beside = Beside::new(&centres, width, (clear_m[0], clear_m[1]));
        let turned = Region::from_outline(outline).turned();
        let middle = f64::midpoint(low.v, high.v);
        // Where a rafter at this place begins and ends on the slope.
        let reach = |u: f64| {
            let stretches = turned.stretches_at(u);
            stretches.into_iter().find(|(from, to)| *from <= middle && middle <= *to)
        };
        let mut timbers = Self {
            clear_m,
            rafter_width_m: width,
            cut: beside.cut,
            added: Some(0),
            added_length_m: 0.0,
            added_lengths_m: Vec::new(),
            headers: 0,
            header_m: 0.0,
            trimmers: 0,
            trimmer_m: clear_m[3] - clear_m[2],
            hangers: 0,
            hanger_nails: roof.timbers.hanger_nails.map(|_| 0),
            at_the_end: beside.cut > 0 && (beside.left.is_none() || beside.right.is_none()),
            fits_if_moved_m: fits_if_moved(rafters, width, (clear_m[0], clear_m[1]), beside.cut),
        };
        if beside.cut == 0 {
            return Some(timbers);
        }
        let inner_left = beside.left.map_or(clear_m[0].max(first.u), |at| at + width / 2.0);
        let inner_right = beside.right.map_or(clear_m[1].min(last.u), |at| at - width / 2.0);
        timbers.header_m = inner_right - inner_left;
        let has_room = |gap: f64| gap > width.max(1e-3) - NEAR_M;
        timbers.trimmers =
            u32::from(has_room(clear_m[0] - inner_left)) + u32::from(has_room(inner_right - clear_m[1]));
        let (from, to) = reach(f64::midpoint(clear_m[0], clear_m[1])).unwrap_or((first.v, last.v));
        let tails = [clear_m[2] - from, to - clear_m[3]];
        let rule = rules.trimming.as_ref();
        if let Some(limits) = rule.and_then(|rule| rule.headers.as_ref()) {
            timbers.by_header(limits, tails);
        } else {
            timbers.added = rule.and_then(|rule| rule.added_for(beside.cut));
            timbers.headers = 2;
            // Every end of a header and of a cut rafter is hung (common practice, no source).
            timbers.hangers = 4 + 2 * beside.cut;
        }
        let added = timbers.added.unwrap_or(0);
        let sides = [beside.left, beside.right].into_iter().flatten();
        let lengths: Vec<f64> = sides.filter_map(reach).map(|(from, to)| to - from).collect();
        timbers.added_length_m = lengths.iter().map(|length| f64::from(added) / 2.0 * length).sum();
        timbers.added_lengths_m = lengths.iter().flat_map(|length| (0..added / 2).map(|_| *length)).collect();
        let per_hole = rules.work.as_ref().map_or(1, |work| work.nails_per_hole.value);
        timbers.hanger_nails = roof
            .timbers
            .hanger_nails
            .map(|holes| timbers.hangers.saturating_mul(holes).saturating_mul(per_hole));
        Some(timbers)
    }

    /// Doubling and hanging by the length of the header. `tails` are the lengths of the cut rafters below and above.
    fn by_header(&mut self, limits: &HeaderLimits, tails: [f64; 2]) {
        let over = |length: f64, limit: &crate::catalogue::Figure<crate::quantity::Length>| {
            length > limit.value.m() + NEAR_M
        };
        let is_long = over(self.header_m, &limits.single_header_most);
        let is_far = tails.iter().any(|tail| over(*tail, &limits.single_trimmer_from_bearing));
        self.headers = if is_long { 4 } else { 2 };
        self.added = Some(if is_long || is_far { 2 } else { 0 });
        let header_ends = if over(self.header_m, &limits.unhung_header_most) { 4 } else { 0 };
        let long_tails = tails.iter().filter(|tail| over(**tail, &limits.unhung_tail_most)).count();
        let tail_ends = u32::try_from(long_tails).unwrap_or(0) * self.cut;
        self.hangers = header_ends + tail_ends;
    }
}

/// How far timber stays away from an opening: from a brick flue, the published distance.
fn flue_clearance_m(opening: &Opening, rules: &OpeningRules) -> f64 {
    match (opening.flue, &rules.work) {
        (Flue::Brick, Some(work)) => work.flue_clearance.value.m(),
        _ => 0.0,
    }
}

/// The rafters at and beside a hole.
struct Beside {
    cut: u32,
    left: Option<f64>,
    right: Option<f64>,
}

impl Beside {
    fn new(centres: &[f64], width: f64, (left, right): (f64, f64)) -> Self {
        let half = width / 2.0;
        let is_left = |at: &f64| at + half <= left + NEAR_M;
        let is_right = |at: &f64| at - half >= right - NEAR_M;
        let cut = centres.iter().filter(|at| !is_left(at) && !is_right(at)).count();
        Self {
            cut: u32::try_from(cut).unwrap_or(u32::MAX),
            left: centres.iter().copied().rfind(|at| is_left(at)),
            right: centres.iter().copied().find(|at| is_right(at)),
        }
    }
}

/// The least move to the right (left, if negative) that puts a hole between two rafters, if it cuts any and is narrow
/// enough for that.
fn fits_if_moved(rafters: Rafters, width: f64, (left, right): (f64, f64), cut: u32) -> Option<f64> {
    let room = rafters.spacing_m - width - (right - left);
    if cut == 0 || room < -NEAR_M {
        return None;
    }
    let step = ((f64::midpoint(left, right) - rafters.first_m) / rafters.spacing_m).floor();
    // Clear of the rafter to its left, or of the one to its right.
    let bay = step.mul_add(rafters.spacing_m, rafters.first_m) + width / 2.0;
    let move_for = |bay: f64| (bay - left).max(0.0) + (bay + room - left).min(0.0);
    [bay - rafters.spacing_m, bay, bay + rafters.spacing_m]
        .into_iter()
        .map(move_for)
        .min_by(|one, other| one.abs().total_cmp(&other.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Rules;

    #[test]
    fn rafters_added_as_published() {
        // Mindham, Roof Construction and Loft Conversion, figure 3.18b: one or two cut, two added; three or four cut, four added.
        let rule = Rules::standard().trimming("trussed-or-cut").unwrap();
        let added: Vec<_> = (0..=5).map(|cut| rule.added_for(cut)).collect();
        assert_eq!(added, [Some(0), Some(2), Some(2), Some(4), Some(4), None]);
    }

    #[test]
    fn a_window_between_rafters_cuts_none() {
        // The same source: a window about 550 mm wide fits between trusses at 600 mm. Trusses 35 mm wide are a user's figure.
        let centres: Vec<f64> = (0..10).map(|n| 0.3 + 0.6 * f64::from(n)).collect();
        let fits = Beside::new(&centres, 0.035, (1.525, 2.075));
        assert_eq!(fits.cut, 0);
        assert!((fits.left.unwrap() - 1.5).abs() < 1e-9 && (fits.right.unwrap() - 2.1).abs() < 1e-9);
        // Thirty millimetres to the left it cuts the one at 1.5 m.
        let beside = Beside::new(&centres, 0.035, (1.495, 2.045));
        assert_eq!(beside.cut, 1);
        assert!((beside.left.unwrap() - 0.9).abs() < 1e-9);
        // The bay is free from 1.5175 to 2.0825 m: 22.5 mm to the right.
        let rafters = Rafters { spacing_m: 0.6, first_m: 0.3 };
        let by = fits_if_moved(rafters, 0.035, (1.495, 2.045), 1).unwrap();
        assert!((by - 0.0225).abs() < 1e-9, "{by}");
        // 20 mm and a half to the left, and the same bays wherever the count of rafters begins.
        for first_m in [0.3, 3.3, -2.7] {
            let rafters = Rafters { spacing_m: 0.6, first_m };
            let by = fits_if_moved(rafters, 0.035, (1.553, 2.103), 1).unwrap();
            assert!((by + 0.0205).abs() < 1e-9, "{by}");
        }
        // 566 mm is wider than the bay of 565 mm.
        assert!(fits_if_moved(rafters, 0.035, (1.495, 1.495 + 0.566), 1).is_none());
        assert!(fits_if_moved(rafters, 0.035, (1.495, 1.495 + 0.564), 1).is_some());
    }

    #[test]
    fn headers_on_both_sides_of_each_limit() {
        // IRC R802.9 (UBC 2517(h)4): header over 4 ft doubled with its trimmers, over 6 ft on hangers; tails over 12 ft held; a
        // single trimmer within 3 ft of the bearing.
        let rule = Rules::standard().trimming("irc-r802-9").unwrap();
        let limits = rule.headers.as_ref().unwrap();
        let foot = 0.3048;
        let counted = |header_ft: f64, tails_ft: [f64; 2]| {
            let mut timbers = OpeningTimbers {
                clear_m: [0.0; 4],
                rafter_width_m: 0.0,
                cut: 2,
                added: None,
                added_length_m: 0.0,
                added_lengths_m: Vec::new(),
                headers: 0,
                header_m: header_ft * foot,
                trimmers: 0,
                trimmer_m: 0.0,
                hangers: 0,
                hanger_nails: None,
                at_the_end: false,
                fits_if_moved_m: None,
            };
            timbers.by_header(limits, tails_ft.map(|tail| tail * foot));
            (timbers.headers, timbers.added, timbers.hangers)
        };
        assert_eq!(counted(4.0, [3.0, 3.0]), (2, Some(0), 0));
        assert_eq!(counted(4.01, [3.0, 3.0]), (4, Some(2), 0));
        assert_eq!(counted(4.0, [3.01, 3.0]), (2, Some(2), 0));
        assert_eq!(counted(6.0, [3.0, 3.0]), (4, Some(2), 0));
        assert_eq!(counted(6.01, [3.0, 3.0]), (4, Some(2), 4));
        assert_eq!(counted(6.01, [12.0, 12.01]), (4, Some(2), 6));
    }
}
