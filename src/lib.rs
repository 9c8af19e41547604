//! Plans the removal of mural paintings on canvas: materials, drums, days, orders and price.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        clippy::indexing_slicing,
        clippy::too_many_lines,
        reason = "a failing test may stop where it fails"
    )
)]

pub mod solver;
