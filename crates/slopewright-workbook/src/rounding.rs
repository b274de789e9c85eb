//! Rounding as a formula: the same cent as the library, whatever the spreadsheet's own rounding is.

use slopewright::quantity::MoneyRounding;

/// Digits behind the last one that counts to which a product is cleaned first: binary fractions leave a trace of a half that is
/// none, or of none that is a half.
const CLEAN: u32 = 8;

/// The formula for an amount that is not negative, rounded to so many decimals.
pub(crate) fn rounded(amount: &str, decimals: u32, mode: MoneyRounding) -> String {
    let fine = decimals + CLEAN;
    let clean = format!("ROUND({amount},{fine})");
    match mode {
        MoneyRounding::HalfUp => format!("ROUND({clean},{decimals})"),
        MoneyRounding::Up => format!("ROUNDUP({clean},{decimals})"),
        MoneyRounding::Down => format!("ROUNDDOWN({clean},{decimals})"),
        // A half less, then up: a half itself comes down to its lower neighbour.
        MoneyRounding::HalfDown => {
            let half = format!("5*10^-{}", decimals + 1);
            format!("MAX(0,ROUNDUP(ROUND({clean}-{half},{fine}),{decimals}))")
        }
        // A half over an even number goes down to it; everything else goes to the nearest.
        MoneyRounding::HalfEven => {
            let units = format!("ROUND({amount}*10^{decimals},{CLEAN})");
            format!(
                "IF(ROUND(MOD({units},2),{CLEAN})=0.5,ROUNDDOWN({clean},{decimals}),ROUND({clean},{decimals}))"
            )
        }
    }
}
