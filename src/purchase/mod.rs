//! Amounts and dates to order lines in whole packs, with the day each is needed.
//!
//! *In*: job, takeoff, rolling, crating, exposure, schedule. *Out*: [`Purchase`]. *Rules*: demand less stock, packs rounded up, least total of
//! goods, freight and surcharges over all suppliers, nothing ordered too late.

mod outcome;

pub use outcome::Bought;
pub use outcome::Demand;
pub use outcome::Order;
pub use outcome::OrderLine;
pub use outcome::Purchase;
