//! All costs to a price.
//!
//! *In*: every stage before. *Out*: [`Bid`]. *Rules*: each line is quantity × rate to the cent; contingency on the sum, overhead on
//! both, markup on all three, tax on the price.

mod outcome;

pub use outcome::Bid;
pub use outcome::BidLine;
pub use outcome::Group;
