//! The page over a job: a form over its main choices above its report, planned anew with each change; a pure machine without a socket.
//!
//! In: the files of a job folder, posted forms, uploaded tables. Out: pages as HTML, files to download, and what saving writes. The
//! command `facelay view` owns the socket, the clock, the token and the disk.

mod form;
mod pages;
mod picks;
mod session;
mod summary;
mod upload;

pub use pages::files_page;
pub use pages::main_page;
pub use pages::notice;
pub use picks::Fields;
pub use picks::Picks;
pub use session::Files;
pub use session::Finished;
pub use session::Message;
pub use session::Planned;
pub use session::Request;
pub use session::Save;
pub use session::Session;
pub use summary::Summary;
pub use upload::Upload;
