//! Plan to reports: typed tables and notes that any writer can write; one file a report.

mod table;

pub use table::Bars;
pub use table::Block;
pub use table::Column;
pub use table::Kind;
pub use table::Mark;
pub use table::Paper;
pub use table::Report;
pub use table::Sheet;
pub use table::Table;
pub use table::Value;
