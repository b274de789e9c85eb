//! Sharing one heap out among those who claim it.

use super::Manner;

/// What one need asks of a heap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Claim {
    /// Which need.
    pub need: usize,
    /// How many of the need one unit meets.
    pub pieces: u64,
    /// How many units would meet it in full.
    pub units: u64,
}

/// How many units each claim gets, in the order of the claims; together never more than there are.
pub(super) fn serve(claims: &[Claim], units: u64, manner: Manner) -> Vec<u64> {
    let total: u128 = claims.iter().map(|claim| u128::from(claim.units)).sum();
    if total <= u128::from(units) {
        return claims.iter().map(|claim| claim.units).collect();
    }
    match manner {
        Manner::WholeSlopes => whole_first(claims, units),
        Manner::Evenly => evenly(claims, units, total),
    }
}

fn whole_first(claims: &[Claim], units: u64) -> Vec<u64> {
    let mut left = units;
    let mut gets: Vec<u64> = Vec::with_capacity(claims.len());
    for claim in claims {
        let whole = if claim.units <= left { claim.units } else { 0 };
        left -= whole;
        gets.push(whole);
    }
    for (claim, got) in claims.iter().zip(&mut gets) {
        let more = (claim.units - *got).min(left);
        left -= more;
        *got += more;
    }
    gets
}

/// The same part to each; the units over go to those whose share was cut off most (largest remainder).
fn evenly(claims: &[Claim], units: u64, total: u128) -> Vec<u64> {
    let parts: Vec<(u128, u128)> = claims
        .iter()
        .map(|claim| {
            let product = u128::from(claim.units) * u128::from(units);
            (product.checked_div(total).unwrap_or(0), product.checked_rem(total).unwrap_or(0))
        })
        .collect();
    let mut gets: Vec<u64> = parts.iter().map(|(part, _)| u64::try_from(*part).unwrap_or(u64::MAX)).collect();
    let mut over = units.saturating_sub(gets.iter().sum());
    let mut order: Vec<usize> = (0..claims.len()).collect();
    order.sort_by_key(|at| core::cmp::Reverse(parts.get(*at).map_or(0, |(_, rest)| *rest)));
    for at in order {
        if over == 0 {
            break;
        }
        if let (Some(got), Some(claim)) = (gets.get_mut(at), claims.get(at))
            && *got < claim.units
        {
            *got += 1;
            over -= 1;
        }
    }
    gets
}
