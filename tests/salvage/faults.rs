//! Each kind of fault of these rooms, provoked once.

use slopewright::salvage::{
    Counting, CutDown, FormatSize, Heap, Inspection, Need, Portion, Sharing, Tally, UnitKey, UnitKind, share,
};
use slopewright::{Error, FaultKind};

fn kinds(error: Error) -> Vec<FaultKind> {
    error.into_faults().into_iter().map(|fault| fault.kind).collect()
}

#[test]
fn salvage_faults() {
    let tile = || UnitKey::new("plain", UnitKind::Whole);
    assert_eq!(kinds(Inspection::new(10, 5, 6).unwrap_err()), [FaultKind::CountUneven]);
    assert_eq!(
        kinds(Inspection::new(10, 5, 5).unwrap().at_least(f64::NAN).unwrap_err()),
        [FaultKind::SurenessOutOfRange]
    );
    for text in ["5", "five %", "101 %", "-1 %", ""] {
        assert_eq!(kinds(text.parse::<Portion>().unwrap_err()), [FaultKind::PortionUnreadable], "{text}");
    }
    let how = Sharing {
        cut_down: vec![CutDown { from: UnitKind::Ridge, to: UnitKind::Whole, pieces: 1 }],
        formats: vec![FormatSize { format: "plain".into(), length: "0 mm".into(), width: "165".into() }],
        ..Sharing::default()
    };
    let needs = [Need::new("north", tile(), u64::MAX)];
    assert_eq!(
        kinds(share(&[], &needs, &how).unwrap_err()),
        [
            FaultKind::CountTooLarge,
            FaultKind::SizeOutOfRange,
            FaultKind::UnitMissing,
            FaultKind::CutDownImpossible
        ]
    );
    let heap = Heap {
        label: "first".into(),
        unit: tile(),
        counted: Counting::SampledStacks { stacks: u64::MAX, per_stack: 2, loose: 1, inspected: 1, sound: 1 },
    };
    let reckoning = slopewright::salvage::Reckoning {
        basis: slopewright::salvage::Basis::Sure { sureness: 95.0 },
        lay_doubtful: false,
        handling_loss: Portion::NONE,
        refixing_loss: Portion::NONE,
    };
    assert_eq!(
        kinds(slopewright::salvage::count(&[heap], reckoning).unwrap_err()),
        [FaultKind::SurenessOutOfRange, FaultKind::CountTooLarge]
    );
    assert_eq!(kinds(Tally::read("{}\n").unwrap_err()), [FaultKind::TallyUnreadable]);
    assert_eq!(kinds(Tally::read("{\"id\":\"a\"").unwrap_err()), [FaultKind::TallyTorn]);
}
