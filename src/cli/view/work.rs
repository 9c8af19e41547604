//! The work behind the page, off the threads that answer: one plan at a time, the newest wins; a fault is told, not fatal.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::time::Duration;

use tokio::task::JoinHandle;
use tokio::task::spawn_blocking;

use crate::cli::fault;
use crate::files;
use crate::files::Saved;
use crate::plan::Kept;
use crate::view::Finished;
use crate::view::Message;
use crate::view::Planned;
use crate::view::Session;

/// How long an answer waits for a plan before it says that it is still being made.
const PATIENCE: Duration = Duration::from_secs(8);

/// What all answers share.
#[derive(Debug)]
pub(super) struct Shared {
    session: Mutex<Session>,
    folder: PathBuf,
    /// Held while planning, with what the last plans leave for the next.
    planning: tokio::sync::Mutex<Kept>,
    finishing: tokio::sync::Mutex<()>,
    /// Held while files in the job folder change.
    pub(super) saving: tokio::sync::Mutex<()>,
}

impl Shared {
    /// Shares a session.
    pub(super) fn new(session: Session, folder: PathBuf) -> Arc<Self> {
        Arc::new(Self {
            session: Mutex::new(session),
            folder,
            planning: tokio::sync::Mutex::default(),
            finishing: tokio::sync::Mutex::default(),
            saving: tokio::sync::Mutex::default(),
        })
    }
}

/// Does something with the session, on a thread that may take its time.
///
/// # Errors
/// The words of a fault of the program itself.
pub(super) async fn with<T: Send + 'static>(
    shared: &Arc<Shared>,
    work: impl FnOnce(&mut Session) -> T + Send + 'static,
) -> Result<T, String> {
    let shared = Arc::clone(shared);
    apart(move || {
        let mut session = shared
            .session
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        work(&mut session)
    })
    .await
}

/// Does a piece of work on a thread of its own.
async fn apart<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T, String> {
    let done = spawn_blocking(move || fault::caught(work)).await;
    done.unwrap_or_else(|trouble| Err(trouble.to_string()))
}

/// Plans the newest change, if nobody has yet. It goes on even if whoever asked hangs up.
pub(super) fn plan_behind(shared: &Arc<Shared>) -> JoinHandle<Result<(), String>> {
    let shared = Arc::clone(shared);
    tokio::spawn(async move {
        let mut alone = shared.planning.lock().await;
        // While this waited for its turn, a newer change may have been planned, or come.
        let request = with(&shared, |session| {
            (session.planned() < session.revision()).then(|| session.request())
        });
        let Some(request) = request.await? else {
            return Ok(());
        };
        let revision = request.revision;
        // After a fault nothing is kept: the next plan is made from nothing.
        let mut kept = std::mem::take(&mut *alone);
        let planned = apart(move || (Planned::of(&request, &mut kept), kept)).await;
        let planned = match planned {
            Ok((planned, kept)) => {
                *alone = kept;
                planned
            }
            Err(fault) => Planned::fault(revision, &fault),
        };
        with(&shared, move |session| session.accept(planned)).await
    })
}

/// Plans the newest change and waits for it as long as is polite.
pub(super) async fn plan(shared: &Arc<Shared>) -> Result<(), String> {
    match tokio::time::timeout(PATIENCE, plan_behind(shared)).await {
        Ok(done) => done.unwrap_or_else(|trouble| Err(trouble.to_string())),
        Err(_late) => Ok(()),
    }
}

/// Makes the files of the newest plan, if they are not there yet.
fn finish_behind(shared: &Arc<Shared>) -> JoinHandle<Result<(), String>> {
    let shared = Arc::clone(shared);
    tokio::spawn(async move {
        let _alone = shared.finishing.lock().await;
        let wanted = with(&shared, |session| {
            session.plan().filter(|_| session.finished().is_none())
        });
        let Some((revision, plan)) = wanted.await? else {
            return Ok(());
        };
        let made = apart(move || Finished::of(revision, &plan)).await?;
        let finished = made.map_err(|trouble| trouble.to_string())?;
        with(&shared, move |session| session.finish(finished)).await
    })
}

/// The files of the newest plan, waited for as long as is polite; none if they take longer or, with a plan that has errors, cannot be made.
pub(super) async fn finish(shared: &Arc<Shared>) -> Result<Option<Arc<Finished>>, String> {
    plan(shared).await?;
    if let Ok(done) = tokio::time::timeout(PATIENCE, finish_behind(shared)).await {
        done.unwrap_or_else(|trouble| Err(trouble.to_string()))?;
    }
    with(shared, |session| session.finished()).await
}

/// The files of the newest plan, however long they take; none if they cannot be made.
pub(super) async fn finish_at_all(shared: &Arc<Shared>) -> Result<Option<Arc<Finished>>, String> {
    let planned = plan_behind(shared).await;
    planned.unwrap_or_else(|trouble| Err(trouble.to_string()))?;
    let finished = finish_behind(shared).await;
    finished.unwrap_or_else(|trouble| Err(trouble.to_string()))?;
    with(shared, |session| session.finished()).await
}

/// Writes what is picked and handed over into the job folder, if it can be planned and nobody else changed the folder.
pub(super) async fn save(shared: &Arc<Shared>) -> Result<(), String> {
    let planned = plan_behind(shared).await;
    planned.unwrap_or_else(|trouble| Err(trouble.to_string()))?;
    let _alone = shared.saving.lock().await;
    let wanted = with(shared, |session| {
        if session.plan().is_none() {
            session.say(Message::refused(
                "nothing was saved, since the job cannot be planned like this",
                "mend what is named below, then save",
            ));
            return None;
        }
        Some((session.folder().clone(), session.to_save()))
    });
    let Some((as_read, save)) = wanted.await? else {
        return Ok(());
    };
    let (folder, inputs) = (shared.folder.clone(), save.inputs.clone());
    let saved = apart(move || files::save_inputs(&folder, &as_read, &inputs)).await?;
    with(shared, move |session| match saved {
        Ok(Saved::Done(kept)) => session.saved(save, &kept),
        Ok(Saved::Changed(names)) => {
            session.say(Message {
                reload: true,
                ..Message::refused(
                    format!(
                        "nothing was saved, since somebody changed the job folder after it was read here: {}",
                        crate::diag::list(&names, "and")
                    ),
                    "note what you chose, read the folder again, and choose again",
                )
            });
        }
        Err(trouble) => session.say(Message::refused(
            format!("nothing was saved: {trouble}"),
            format!("{}; what you chose is still on this page", trouble.help),
        )),
    })
    .await
}

/// Reads the job folder again.
pub(super) async fn reload(shared: &Arc<Shared>) -> Result<(), String> {
    let folder = shared.folder.clone();
    let read = apart(move || files::read_job(&folder)).await?;
    with(shared, move |session| match read {
        Ok(files) => session.reload(files),
        Err(trouble) => session.say(Message::refused(trouble.to_string(), trouble.help)),
    })
    .await
}
