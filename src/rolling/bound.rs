//! What no choice of drums can cost less than, however many paintings there are.

use super::market::Lying;
use super::market::Market;
use super::tube::from_i64;
use super::tube::from_u64;

/// Returns a bound in cents on every choice.
///
/// # Formula
/// `Σ min over tubes and ways of (width · (price/(L − m) + (fixed + per_mm · m)/(F − m)) + per_mm · width + interleaf)`: a painting pays at
/// least the share of a stock tube and of a drum that its width takes of the fullest (L: stock length, F: longest face, m: margin). What lies
/// on the shelf is first priced as if bought, and its price taken off; a second bound has it for nothing; the greater holds.
///
/// # Sources
/// Derived here; checked against an exact solver in `tests/reference/check_drums.py`.
pub(super) fn bound(market: &Market<'_>) -> f64 {
    let shelf: f64 = market
        .stocks
        .iter()
        .filter_map(|stock| {
            Some(from_u64(stock.supply?) * price_of(market, stock.tube, stock.length))
        })
        .sum();
    let bought = sum(market, true) - shelf;
    if shelf > 0.0 {
        bought.max(sum(market, false))
    } else {
        bought
    }
    .max(0.0)
}

/// What a stock tube on the shelf would cost to buy, in cents.
fn price_of(market: &Market<'_>, tube: usize, length: i64) -> f64 {
    let alike = market
        .stocks
        .iter()
        .filter(|stock| stock.supply.is_none() && stock.tube == tube && stock.length == length);
    alike.map(|stock| stock.cents).fold(0.0, f64::max)
}

fn sum(market: &Market<'_>, bought: bool) -> f64 {
    let shares: Vec<f64> = (0..market.tubes.len())
        .map(|tube| share(market, tube, bought))
        .collect();
    let cheapest = market.classes.iter().map(|class| {
        let ways = class.ways.iter().enumerate().flat_map(|(tube, ways)| {
            let share = shares.get(tube).copied().unwrap_or(f64::INFINITY);
            let per_mm = market.drums.get(tube).map_or(0.0, |drum| drum.per_mm);
            ways.iter()
                .map(move |lying: &Lying| lying.extra + from_i64(lying.width) * (share + per_mm))
        });
        let least = ways.fold(f64::INFINITY, f64::min);
        least * from_u64(u64::try_from(class.rolls.len()).unwrap_or(0))
    });
    cheapest.sum()
}

/// The least that a millimetre of painting can take of a stock tube and a drum, in cents.
fn share(market: &Market<'_>, tube: usize, bought: bool) -> f64 {
    let room = |length: i64| from_i64((length - market.margin).max(1));
    let stocks = market
        .stocks
        .iter()
        .filter(|stock| stock.tube == tube && (bought != stock.supply.is_some() || !bought));
    let stock = stocks
        .map(|stock| stock.cents / room(stock.length))
        .fold(f64::INFINITY, f64::min);
    let longest = market
        .tubes
        .get(tube)
        .map_or(1, |tube| tube.length().to_mm_up());
    stock + market.opened(tube) / room(longest)
}
