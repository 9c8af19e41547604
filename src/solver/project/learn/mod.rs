//! Exact search that learns from its dead ends, for projects with longest lags and for proofs.
//!
//! Every start is a range of times. A decision narrows a range, propagation narrows others, and when nothing is left
//! the reasons are resolved into a clause that forbids the same mistake everywhere else.
//!
//! # Sources
//! Schutt, Feydy, Stuckey & Wallace, *Explaining the cumulative propagator*, Constraints 16 (2011) 250–282, and *Solving
//! RCPSP/max by lazy clause generation*, Journal of Scheduling 16 (2013) 273–289 (cited from memory).

mod analysis;
mod clauses;
mod cumulative;
mod disjunctive;
mod domains;
mod search;
mod temporal;

pub(crate) use search::Ending;
pub(crate) use search::Prover;
