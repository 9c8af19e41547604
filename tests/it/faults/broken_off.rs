//! Runs that are broken off: by force at any moment, by another run, by a program that holds a file, by a folder that may not be written.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;
use std::time::Instant;

use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::cli::complained;
use crate::cli::example;
use crate::cli::said;
use crate::folders::contents;

const PLAN: &[&str] = &["plan", "job", "--out", "out"];

/// What stands in a folder while files are put in their places.
const SIGN: &str = "facelay-unfinished.txt";

type Files = BTreeMap<String, Vec<u8>>;

/// One small panel and a recipe of two steps: planned in a moment, and yet every file is written.
fn small_job(job: &Path, brushes: u32) {
    fs::write(
        job.join("panels.csv"),
        "panel,width,height,recipe\nR1,3',2',own\n",
    )
    .unwrap();
    fs::write(
        job.join("stock.csv"),
        format!("material,quantity\nbrush-50,{brushes}\n"),
    )
    .unwrap();
    fs::create_dir_all(job.join("recipes")).unwrap();
    let step = |id: &str, more: &str| {
        format!(
            "[[step]]\nid = \"{id}\"\nkind = \"{id}\"\nskill = \"conservator\"\nwork = [{{ minutes = 20, per = \"panel\" }}]\n{more}"
        )
    };
    let uses = "uses = [{ material = \"brush-50\", rate = 3, per = \"panel\" }]\n";
    let text = format!("id = \"own\"\n{}{}", step("marks", uses), step("clean", ""));
    fs::write(job.join("recipes/own.toml"), text).unwrap();
}

fn start(folder: &Path) -> std::process::Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_facelay"));
    command
        .args(PLAN)
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// The files that people see.
fn seen(out: &Path) -> Files {
    let mut files = contents(out);
    files.retain(|name, _| !name.split('/').any(|part| part.starts_with('.')));
    files
}

/// Ended by force at two hundred moments: the folder is the old plan, or the new one, or says itself that it is neither. Each file is
/// whole at any moment.
#[cfg(unix)]
#[test]
fn ended_by_force_a_folder_is_old_or_new_or_says_so() {
    const KILLS: u32 = 200;
    let folder = example("three-panels");
    let (job, out) = (folder.path().join("job"), folder.path().join("out"));
    let mut wanted: Vec<Files> = Vec::new();
    for brushes in [1, 2] {
        small_job(&job, brushes);
        said(folder.path(), PLAN, 0);
        wanted.push(seen(&out));
    }
    assert!(wanted[0] != wanted[1], "both jobs give the same files");
    let (first, rest) = until_writing(folder.path(), &job);
    let mut dice = ChaCha8Rng::seed_from_u64(8);
    let (mut ended, mut old, mut new, mut told) = (0, 0, 0, 0);
    for kill in 0..KILLS {
        let (before, after) = if kill % 2 == 0 { (0, 1) } else { (1, 0) };
        small_job(&job, if after == 0 { 1 } else { 2 });
        let files = number_of_files(&out);
        let mut child = start(folder.path());
        // One in four of the moments lies before anything is written, the others while files are.
        if kill % 4 == 0 {
            std::thread::sleep(first.mul_f64(dice.random_range(0.0..1.0)));
        } else {
            while number_of_files(&out) <= files && child.try_wait().unwrap().is_none() {
                std::thread::sleep(Duration::from_millis(1));
            }
            std::thread::sleep(rest.mul_f64(dice.random_range(0.0..1.05)));
        }
        ended += u32::from(child.try_wait().unwrap().is_some());
        child.kill().unwrap();
        child.wait().unwrap();
        let mut found = seen(&out);
        let sign = found.remove(SIGN).is_some();
        for (name, bytes) in &found {
            assert!(
                wanted.iter().any(|files| files.get(name) == Some(bytes)),
                "kill {kill}: {name} is neither the old file nor the new one"
            );
        }
        let is = |side: usize| found == wanted[side];
        match (is(before), is(after), sign) {
            (true, _, false) => old += 1,
            (_, true, false) => new += 1,
            (_, _, true) => told += 1,
            (false, false, false) => {
                panic!("kill {kill}: a mixture, and nothing says so")
            }
        }
        // The next run needs nobody's help, keeps nothing by mistake and leaves nothing lying about.
        let errors = complained(folder.path(), PLAN, 0);
        assert!(!errors.contains("kept"), "kill {kill}: {errors}");
        assert!(
            seen(&out) == wanted[after],
            "kill {kill}: the next run did not write the whole plan"
        );
        let hidden: Vec<String> = contents(&out)
            .into_keys()
            .filter(|name| name.contains(".facelay-"))
            .collect();
        assert_eq!(hidden, [".facelay-files.json"], "kill {kill}");
    }
    println!(
        "{KILLS} kills: {ended} came too late, {old} left the old plan, {new} the new one, {told} one that says it is unfinished"
    );
    assert!(
        old > 10 && old + new + told == KILLS && ended < KILLS / 2,
        "{ended} {old} {new} {told}"
    );
}

/// How long a run takes until it begins to write, and how long it writes.
fn until_writing(folder: &Path, job: &Path) -> (Duration, Duration) {
    small_job(job, 1);
    let out = folder.join("out");
    let files = number_of_files(&out);
    let began = Instant::now();
    let mut child = start(folder);
    let mut writing = None;
    while child.try_wait().unwrap().is_none() {
        if writing.is_none() && number_of_files(&out) > files {
            writing = Some(began.elapsed());
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    let whole = began.elapsed();
    let first = writing.unwrap_or(whole.mul_f64(0.9));
    (first, whole.saturating_sub(first))
}

/// The files of a folder and of the folders in it, hidden ones too; one that is renamed meanwhile may count or not.
fn number_of_files(folder: &Path) -> usize {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries
        .map(|entry| {
            let path = entry.path();
            if path.is_dir() {
                number_of_files(&path)
            } else {
                1
            }
        })
        .sum()
}

/// A workbook that a spreadsheet program has open lies beside that program's own file: nothing is changed, and the person is told.
#[test]
fn a_workbook_that_is_open_is_not_replaced() {
    let folder = example("three-panels");
    let (job, out) = (folder.path().join("job"), folder.path().join("out"));
    small_job(&job, 1);
    said(folder.path(), PLAN, 0);
    let before = seen(&out);
    small_job(&job, 2);
    for lock in [".~lock.bid.xlsx#", "~$bid.xlsx"] {
        fs::write(out.join(lock), "a person, at another desk").unwrap();
        let errors = complained(folder.path(), PLAN, 1);
        assert!(
            errors.contains("out/bid.xlsx: the file is open in a spreadsheet program")
                && errors.contains(lock)
                && errors.contains("nothing was changed"),
            "{errors}"
        );
        fs::remove_file(out.join(lock)).unwrap();
        assert!(seen(&out) == before, "{lock}");
    }
    said(folder.path(), PLAN, 0);
}

/// A file that cannot be replaced in the middle of it all (the system holds it): what is new and what is old is told, and the folder says so.
#[cfg(target_os = "linux")]
#[test]
fn a_file_that_is_held_halfway_is_told() {
    if !is_superuser("a file is held by mounting it onto itself") {
        return;
    }
    let folder = example("three-panels");
    let (job, out) = (folder.path().join("job"), folder.path().join("out"));
    small_job(&job, 1);
    said(folder.path(), PLAN, 0);
    small_job(&job, 2);
    let held = out.join("plan.json");
    let mount = Command::new("mount")
        .arg("--bind")
        .args([&held, &held])
        .status()
        .unwrap();
    assert!(mount.success(), "the superuser cannot mount here");
    let errors = complained(folder.path(), PLAN, 1);
    let sign = out.join(SIGN).exists();
    assert!(
        Command::new("umount")
            .arg(&held)
            .status()
            .unwrap()
            .success()
    );
    assert!(
        errors.contains("out/plan.json: ") && errors.contains("are new and others old") && sign,
        "{errors}"
    );
    said(folder.path(), PLAN, 0);
    assert!(!out.join(SIGN).exists());
}

/// Two runs into one folder at once: the second waits for nobody and changes nothing.
#[cfg(unix)]
#[test]
fn a_folder_takes_one_run_at_a_time() {
    let folder = example("three-panels");
    small_job(&folder.path().join("job"), 1);
    said(folder.path(), PLAN, 0);
    let before = seen(&folder.path().join("out"));
    let other = fs::File::open(folder.path().join("out")).unwrap();
    other.lock().unwrap();
    small_job(&folder.path().join("job"), 2);
    let errors = complained(folder.path(), PLAN, 1);
    assert!(
        errors.contains("out: another facelay is writing into this folder")
            && errors.contains("nothing was changed"),
        "{errors}"
    );
    assert!(seen(&folder.path().join("out")) == before);
}

/// A folder that may be read and not written. The superuser may write everywhere, so the program is run as nobody then.
#[cfg(target_os = "linux")]
#[test]
fn a_read_only_folder_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let folder = example("three-panels");
    small_job(&folder.path().join("job"), 1);
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    let mode =
        |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    mode(folder.path(), 0o755);
    mode(&out, 0o555);
    // What is run by another user has to lie where that user may look.
    let program = folder.path().join("facelay");
    fs::copy(env!("CARGO_BIN_EXE_facelay"), &program).unwrap();
    let mut command = if is_superuser("") {
        let mut command = Command::new("setpriv");
        command
            .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
            .arg(&program);
        command
    } else {
        Command::new(&program)
    };
    let run = command
        .args(PLAN)
        .current_dir(folder.path())
        .output()
        .unwrap();
    let errors = String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(1), "{errors}");
    assert!(
        errors.contains("out: permission denied") && errors.contains("nothing was changed"),
        "{errors}"
    );
    assert_eq!(fs::read_dir(&out).unwrap().count(), 0);
}

/// A clock that went backwards: files younger than now, and a record from tomorrow, are replaced all the same, and a person's edit with
/// an old date is kept. Digests count, not dates.
#[test]
fn clocks_out_of_order_change_nothing() {
    let folder = example("three-panels");
    let (job, out) = (folder.path().join("job"), folder.path().join("out"));
    small_job(&job, 1);
    said(folder.path(), PLAN, 0);
    let whole = seen(&out);
    let date = |path: &Path, time: std::time::SystemTime| {
        fs::File::options()
            .write(true)
            .open(path)
            .unwrap()
            .set_modified(time)
            .unwrap();
    };
    let (long_ago, far) = (Duration::from_hours(24), Duration::from_secs(4_000_000_000));
    for name in whole.keys() {
        date(&out.join(name), std::time::UNIX_EPOCH + far);
    }
    for name in ["job.toml", "panels.csv", "stock.csv"] {
        date(&job.join(name), std::time::UNIX_EPOCH + far);
    }
    fs::write(out.join("bid.xlsx"), "edited").unwrap();
    date(&out.join("bid.xlsx"), std::time::UNIX_EPOCH + long_ago);
    small_job(&job, 2);
    let errors = complained(folder.path(), PLAN, 0);
    assert!(
        errors.contains("kept: out/bid.xlsx was edited") && errors.matches("kept").count() == 1,
        "{errors}"
    );
    small_job(&job, 1);
    said(folder.path(), &[PLAN, &["--replace"]].concat(), 0);
    assert!(seen(&out) == whole);
}

/// Says whether the superuser runs this; if not, and something would be left out, says so.
pub(super) fn is_superuser(left_out: &str) -> bool {
    let output = Command::new("id").arg("-u").output().unwrap();
    let is = output.stdout.starts_with(b"0\n");
    if !is && !left_out.is_empty() {
        eprintln!("NOT TRIED, only the superuser can: {left_out}");
    }
    is
}
