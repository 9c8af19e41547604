//! The only module that touches the disk: reads job folders, writes outputs whole or not at all.

mod guard;
mod read;
mod record;
mod save;
mod write;

pub use read::read_given;
pub use read::read_job;
pub use save::Input;
pub use save::Saved;
pub use save::save_inputs;
pub use write::Kept;
pub use write::Written;
pub use write::write_new;
pub use write::write_outputs;

/// Something went wrong with a file or folder; the sentence names it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{path}: {why}")]
pub struct FileTrouble {
    /// The file or folder as the person named it.
    pub path: String,
    /// What went wrong, in words.
    pub why: String,
    /// What to do.
    pub help: String,
    /// Whether some files had been put in place already, so that new and old ones stand side by side.
    pub halfway: bool,
}

impl FileTrouble {
    fn new(path: &std::path::Path, why: &(impl ToString + ?Sized), help: &str) -> Self {
        Self {
            path: path.display().to_string(),
            why: why.to_string(),
            help: help.to_owned(),
            halfway: false,
        }
    }
}
