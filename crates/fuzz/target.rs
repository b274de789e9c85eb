//! One target for each name: what it does stands in `tests/corpus/targets.rs`.
#![no_main]

#[path = "../../tests/corpus/bytes.rs"]
mod bytes;
#[path = "../../tests/corpus/roofs.rs"]
mod roofs;
#[path = "../../tests/corpus/targets.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    static HOOK: std::sync::Once = std::sync::Once::new();
    // A fuzzer ends at any panic, but those of the workbooks' reader are caught by the library.
    HOOK.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |panic| {
            if !panic.location().is_some_and(|place| place.file().contains("/calamine-")) {
                usual(panic);
            }
        }));
    });
    targets::run(env!("CARGO_BIN_NAME"), bytes);
});
