//! What is going on on the page: the folder as read, what is picked and handed over, the newest plan and the one before it.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diag::Problems;
use crate::files::Input;
use crate::format;
use crate::format::CannotWrite;
use crate::input::sha256;
use crate::job;
use crate::job::CHOICES_FILE;
use crate::job::Job;
use crate::plan;
use crate::plan::Kept;
use crate::plan::Plan;
use crate::report;

use super::picks::Fields;
use super::picks::Picks;
use super::summary::Summary;
use super::upload::Upload;

/// The files of a job by their name within the folder, with `/` between folder and file.
pub type Files = BTreeMap<String, Vec<u8>>;

/// The archive of all files of a plan.
pub(super) const ALL_FILES: &str = "plan.zip";

/// What is to be planned: the job folder with everything that was picked and handed over.
#[derive(Clone, Debug)]
pub struct Request {
    /// Counts the changes; a higher one is newer.
    pub revision: u64,
    files: Files,
}

/// What came of a request.
#[derive(Clone, Debug)]
pub struct Planned {
    revision: u64,
    problems: Problems,
    made: Option<Made>,
}

/// A plan with what the page shows of it.
#[derive(Clone, Debug)]
pub(super) struct Made {
    pub(super) plan: Arc<Plan>,
    pub(super) page: Arc<report::Page>,
    pub(super) summary: Summary,
}

/// A plan with its cases and odds, and every file of it.
#[derive(Clone, Debug)]
pub struct Finished {
    revision: u64,
    page: Arc<report::Page>,
    /// The files by name, as `facelay plan` writes them, and before them all of them in one archive.
    pub outputs: Vec<(String, Vec<u8>)>,
}

impl Planned {
    /// Plans what is requested; sooner where `kept` knows something of it from the requests before.
    pub fn of(request: &Request, kept: &mut Kept) -> Self {
        let (job, problems) = job::read(&request.files);
        let revision = request.revision;
        let Some(job) = job else {
            return Self {
                revision,
                problems,
                made: None,
            };
        };
        let plan = plan::make_next(job, problems, kept, &mut |_: &'static str| {});
        let problems = plan.problems.clone();
        let made = (!problems.has_errors()).then(|| Made {
            page: Arc::new(report::page(&plan)),
            summary: Summary::of(&plan),
            plan: Arc::new(plan),
        });
        Self {
            revision,
            problems,
            made,
        }
    }

    /// What came of a request that the program itself was at fault for.
    pub fn fault(revision: u64, text: &str) -> Self {
        let mut problems = Problems::new();
        problems.error(
            None,
            format!("facelay itself is at fault: {text}"),
            "report this with the job folder; the choices before this one still work",
        );
        Self {
            revision,
            problems,
            made: None,
        }
    }
}

impl Finished {
    /// Prices the cases, draws the odds and makes every file.
    ///
    /// # Errors
    /// A workbook or document could not be made.
    pub fn of(revision: u64, plan: &Plan) -> Result<Self, CannotWrite> {
        let mut plan = plan.clone();
        plan::weigh(&mut plan, &mut |_| {});
        let mut outputs = format::outputs(&plan)?;
        let all = format::write_zip("plan", &outputs)?;
        outputs.insert(0, (ALL_FILES.to_owned(), all));
        Ok(Self {
            revision,
            page: Arc::new(report::page(&plan)),
            outputs,
        })
    }
}

/// What the page says on top: of what was last done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Message {
    /// What happened.
    pub text: String,
    /// What to do about it; empty where nothing need be done.
    pub help: String,
    /// Whether it was refused.
    pub refused: bool,
    /// The problems found, in an upload for instance.
    pub problems: Problems,
    /// Whether reading the folder again is what helps.
    pub reload: bool,
}

impl Message {
    /// Says that something was done.
    pub fn done(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// Says why something was not done.
    pub fn refused(text: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            help: help.into(),
            refused: true,
            ..Self::default()
        }
    }
}

/// What saving writes, and what it makes the folder say.
#[derive(Clone, Debug)]
pub struct Save {
    /// The files.
    pub inputs: Vec<Input>,
    picks: Picks,
    upload: Option<Upload>,
}

/// Everything behind the page.
#[derive(Clone, Debug)]
pub struct Session {
    pub(super) folder: Files,
    pub(super) upload: Option<Upload>,
    pub(super) picks: Picks,
    /// The job without picks; none where its files have errors.
    pub(super) base: Option<Job>,
    /// Counts changes of the panels, since form fields name rows.
    pub(super) form: u64,
    pub(super) revision: u64,
    /// The newest revision that was planned, and what is wrong with it.
    pub(super) planned: u64,
    pub(super) problems: Problems,
    /// The newest plan without errors, and the revision it is of.
    pub(super) now: Option<(u64, Made)>,
    pub(super) before: Option<Summary>,
    /// The job as the folder has it.
    pub(super) in_folder: Option<Summary>,
    /// What the folder's own choices pick.
    pub(super) saved: Picks,
    pub(super) message: Option<Message>,
    /// The files of a plan, once they were asked for.
    pub(super) finished: Option<Arc<Finished>>,
}

impl Session {
    /// Starts from the files of a job folder.
    pub fn of(folder: Files) -> Self {
        let mut session = Self {
            folder,
            upload: None,
            picks: Picks::default(),
            base: None,
            form: 1,
            revision: 1,
            planned: 0,
            problems: Problems::new(),
            now: None,
            before: None,
            in_folder: None,
            saved: Picks::default(),
            message: None,
            finished: None,
        };
        session.base = job::read(&without_choices(&session.folder)).0;
        if let (Some(base), Some(chosen)) = (&session.base, job::read(&session.folder).0) {
            session.picks = Picks::of(base, &chosen);
        } else if session.base.is_some() {
            session.message = Some(Message::refused(
                format!("`{CHOICES_FILE}` in the folder cannot be read and is left aside here"),
                "saving replaces it; `facelay check` says what is wrong with it, deleting it mends it".to_owned(),
            ));
        }
        session.saved = session.picks.clone();
        session
    }

    /// Reads the folder anew; what was picked and not saved is dropped.
    pub fn reload(&mut self, folder: Files) {
        let (form, revision) = (self.form + 1, self.revision + 1);
        *self = Self {
            form,
            revision,
            before: self.now.take().map(|(_, made)| made.summary),
            ..Self::of(folder)
        };
        let text = "the folder was read again; what was chosen here and not saved is dropped";
        let note = self.message.take();
        self.message = Some(note.unwrap_or_else(|| Message::done(text)));
    }

    /// The folder's digest, which a page carries so that a save can tell what it was made from.
    pub fn digest(&self) -> String {
        let files = self.folder.iter();
        let each = files.map(|(name, bytes)| format!("{name}\n{}\n", sha256(bytes)));
        sha256(each.collect::<String>().as_bytes())
    }

    /// The files as they were read.
    pub const fn folder(&self) -> &Files {
        &self.folder
    }

    /// What is to be planned now.
    pub fn request(&self) -> Request {
        Request {
            revision: self.revision,
            files: self.files(),
        }
    }

    /// The newest change.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// The newest change that was planned.
    pub const fn planned(&self) -> u64 {
        self.planned
    }

    /// The newest plan, if it is of the newest change and has no errors; with the revision it is of.
    pub fn plan(&self) -> Option<(u64, Arc<Plan>)> {
        let (revision, made) = self.now.as_ref()?;
        (*revision == self.revision).then(|| (*revision, Arc::clone(&made.plan)))
    }

    /// Says what was last done.
    pub fn say(&mut self, message: Message) {
        self.message = Some(message);
    }

    /// Takes a posted form; false if it was made for other panels than those there are now, or for a job that cannot be read.
    pub fn pick(&mut self, fields: &Fields) -> bool {
        self.message = None;
        let form = fields.get("form").and_then(|form| form.parse().ok());
        let Some(base) = self.base.as_ref().filter(|_| form == Some(self.form)) else {
            self.message = Some(Message::refused(
                "this page was out of date, so nothing was changed",
                "choose again below",
            ));
            return false;
        };
        let picks = self.picks.posted(base, fields);
        self.change_to(picks);
        true
    }

    /// Drops everything picked and handed over: the job as job.toml and the tables have it.
    pub fn clear(&mut self) {
        self.message = Some(Message::done(
            "the job is shown as job.toml and the tables in the folder have it",
        ));
        self.own_panels();
        self.change_to(Picks::default());
    }

    /// Takes a table of panels in place of the folder's, if the job can be read with it.
    pub fn take_panels(&mut self, label: &str, bytes: Vec<u8>) {
        let upload = match Upload::into_place(&self.folder, label, bytes) {
            Ok(upload) => upload,
            Err((text, help)) => {
                self.message = Some(Message::refused(text, help));
                return;
            }
        };
        let mut files = without_choices(&self.folder);
        upload.put_into(&mut files);
        let (job, problems) = job::read(&files);
        let Some(job) = job else {
            let text = format!(
                "the uploaded file `{}`, read as `{}`, has errors, so nothing was changed",
                upload.label, upload.name
            );
            self.message = Some(Message {
                problems,
                ..Message::refused(
                    text,
                    "mend the cells named below, save the file, and upload it again",
                )
            });
            return;
        };
        let picks = match &self.base {
            Some(base) => self.picks.moved(base, &job),
            None => Picks::default(),
        };
        let mut text = format!(
            "planned with the panels of `{}`; the folder still has its own until you save",
            upload.label
        );
        if let Some(lacking) = upload.lacking() {
            text = format!("{text}. Careful: {lacking}");
        }
        self.message = Some(Message::done(text));
        self.upload = Some(upload);
        self.base = Some(job);
        self.form += 1;
        self.change_to(picks);
    }

    /// Goes back to the folder's panels.
    pub fn drop_panels(&mut self) {
        let picks = self.own_panels();
        self.message = Some(Message::done("planned with the panels in the folder again"));
        self.change_to(picks);
    }

    /// Puts the folder's panels back; the picks over them.
    fn own_panels(&mut self) -> Picks {
        let base = job::read(&without_choices(&self.folder)).0;
        let picks = match (&self.base, &base) {
            (Some(from), Some(to)) => self.picks.moved(from, to),
            (None, _) | (_, None) => Picks::default(),
        };
        self.upload = None;
        self.base = base;
        self.form += 1;
        picks
    }

    fn change_to(&mut self, picks: Picks) {
        self.picks = picks;
        self.revision += 1;
    }

    /// Takes what came of a request, unless something newer is there.
    pub fn accept(&mut self, planned: Planned) {
        let Planned {
            revision,
            problems,
            made,
        } = planned;
        if revision <= self.planned {
            return;
        }
        self.planned = revision;
        self.problems = problems;
        if let Some(made) = made {
            if revision == self.revision && self.is_as_saved() {
                self.in_folder = Some(made.summary.clone());
            }
            let last = self.now.replace((revision, made));
            self.before = last.map(|(_, made)| made.summary).or(self.before.take());
        }
    }

    /// The job folder with everything picked and handed over.
    fn files(&self) -> Files {
        let Some(base) = &self.base else {
            return self.folder.clone();
        };
        let mut files = without_choices(&self.folder);
        if let Some(upload) = &self.upload {
            upload.put_into(&mut files);
        }
        if let Some(text) = self.picks.to_toml(base) {
            files.insert(CHOICES_FILE.to_owned(), text.into_bytes());
        }
        files
    }

    /// What saving writes into the folder. A table of panels and choices that a person wrote are kept beside what takes their place.
    pub fn to_save(&self) -> Save {
        let mut inputs = Vec::new();
        if let Some(upload) = &self.upload {
            inputs.push(Input {
                name: upload.name.clone(),
                bytes: Some(upload.bytes.clone()),
                keep: true,
            });
            let others = upload.replaces.iter().filter(|name| **name != upload.name);
            inputs.extend(others.map(|name| Input {
                name: name.clone(),
                bytes: None,
                keep: true,
            }));
        }
        let base = self.base.as_ref();
        let text = |picks: &Picks| Some(picks.to_toml(base?)?.into_bytes());
        let old = self.folder.get(CHOICES_FILE);
        inputs.push(Input {
            name: CHOICES_FILE.to_owned(),
            bytes: text(&self.picks),
            keep: old.is_some() && old != text(&self.saved).as_ref(),
        });
        Save {
            inputs,
            picks: self.picks.clone(),
            upload: self.upload.clone(),
        }
    }

    /// Takes over that everything is saved, and says so; `kept` are the files that are in the folder under other names now.
    pub fn saved(&mut self, save: Save, kept: &[(String, String)]) {
        for (old, new) in kept {
            let bytes = self.folder.get(old).cloned().unwrap_or_default();
            self.folder.insert(new.clone(), bytes);
        }
        for input in save.inputs {
            match input.bytes {
                Some(bytes) => drop(self.folder.insert(input.name, bytes)),
                None => drop(self.folder.remove(&input.name)),
            }
        }
        if self.upload == save.upload {
            self.upload = None;
        }
        self.saved = save.picks;
        self.in_folder = self.now.as_ref().map(|(_, made)| made.summary.clone());
        let mut text = if self.saved.is_empty() {
            format!(
                "saved: nothing is chosen any more, so there is no `{CHOICES_FILE}` in the job folder"
            )
        } else {
            format!(
                "saved in the job folder as `{CHOICES_FILE}`, which every command follows from now on; delete it to go back"
            )
        };
        for (old, new) in kept {
            text.push_str(&["; what `", old, "` held is kept as `", new, "`"].concat());
        }
        self.message = Some(Message::done(text));
    }

    /// Takes the weighed plan with its files, unless it is of an older change.
    pub fn finish(&mut self, finished: Finished) {
        if let Some((revision, made)) = &mut self.now
            && *revision == finished.revision
        {
            made.page = Arc::clone(&finished.page);
            self.finished = Some(Arc::new(finished));
        }
    }

    /// The files of the newest plan, if they are made.
    pub fn finished(&self) -> Option<Arc<Finished>> {
        let finished = self.finished.as_ref()?;
        (finished.revision == self.revision).then(|| Arc::clone(finished))
    }

    /// Says whether the folder would not be otherwise after saving.
    pub(super) fn is_as_saved(&self) -> bool {
        self.upload.is_none() && self.picks == self.saved
    }
}

fn without_choices(folder: &Files) -> Files {
    let files = folder.iter().filter(|(name, _)| *name != CHOICES_FILE);
    files
        .map(|(name, bytes)| (name.clone(), bytes.clone()))
        .collect()
}
