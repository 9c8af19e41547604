//! Help, completions and man pages: narrow enough, true, and accepted by the programs that read them.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use tempfile::TempDir;

use super::cli::complained;
use super::cli::example;
use super::cli::facelay;
use super::cli::said;

/// The program's commands, as its own help lists them.
pub(crate) fn commands() -> Vec<String> {
    let folder = TempDir::new().unwrap();
    let help = said(folder.path(), &["--help"], 0);
    let listed = help
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| !line.is_empty());
    let names: Vec<String> = listed
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect();
    assert!(names.len() >= 12, "{help}");
    names
}

/// The lines below `Example:` or `Examples:`, without the words that explain them.
fn examples(help: &str) -> Vec<String> {
    let lines = help
        .lines()
        .skip_while(|line| !line.starts_with("Example"))
        .skip(1);
    lines
        .take_while(|line| line.starts_with("  "))
        .map(|line| line.trim().split("   ").next().unwrap().to_owned())
        .collect()
}

#[test]
fn help_is_narrow_and_help_of_a_command_is_its_own() {
    let folder = TempDir::new().unwrap();
    for command in commands() {
        let help = said(folder.path(), &["help", &command], 0);
        assert_eq!(help, said(folder.path(), &[&command, "--help"], 0));
        for line in help.lines() {
            assert!(line.chars().count() <= 80, "{command}: {line}");
        }
        let brief = said(folder.path(), &[&command, "-h"], 0);
        assert!(
            brief.lines().count() <= 40,
            "{command}: -h does not fit a screen"
        );
        assert!(
            !examples(&help).is_empty(),
            "{command} has no example: {help}"
        );
    }
}

/// What runs until somebody stops it is only begun.
const SERVES: &[&str] = &["view"];

/// Every example of every help text, typed as it stands into a shell, beside a job that was just started.
#[test]
fn every_example_works_on_a_new_job() {
    let program = Path::new(env!("CARGO_BIN_EXE_facelay"));
    let path = format!(
        "{}:{}",
        program.parent().unwrap().display(),
        std::env::var("PATH").unwrap()
    );
    let names = commands();
    let pages = names.iter().map(|name| vec![name.as_str(), "--help"]);
    for page in pages.chain([vec!["--help"]]) {
        let folder = TempDir::new().unwrap();
        if page != ["new", "--help"] && page != ["--help"] {
            said(folder.path(), &["new", "my-hall"], 0);
        }
        for line in examples(&said(folder.path(), &page, 0)) {
            assert!(line.starts_with("facelay "), "{page:?}: {line}");
            if SERVES
                .iter()
                .any(|name| line.starts_with(&format!("facelay {name}")))
            {
                let words: Vec<&str> = line.split_whitespace().skip(1).collect();
                super::view::serves(folder.path(), &words);
                continue;
            }
            // `new` starts one folder, whose name is then taken.
            let started = folder.path().join("my-hall");
            if line.starts_with("facelay new") && started.exists() {
                fs::remove_dir_all(&started).unwrap();
            }
            let run = Command::new("bash")
                .args(["-c", &line])
                .current_dir(folder.path())
                .env("PATH", &path)
                .output()
                .unwrap();
            assert!(
                run.status.success(),
                "{line}: {}",
                String::from_utf8_lossy(&run.stderr)
            );
        }
    }
}

/// Problems still come, the rest does not; what was asked for by a command that shows is still shown.
#[test]
fn quiet_says_problems_only() {
    let folder = example("three-panels");
    for arguments in [
        &["plan", "job", "--out", "out", "--quiet"][..],
        &["--quiet", "check", "job"],
        &["new", "mine", "-q"],
    ] {
        let output = facelay(folder.path(), arguments);
        assert!(output.status.success(), "{arguments:?}");
        assert_eq!(output.stdout, b"", "{arguments:?}");
    }
    let loud = facelay(folder.path(), &["check", "job"]);
    let quiet = facelay(folder.path(), &["check", "job", "--quiet"]);
    assert_eq!(loud.stderr, quiet.stderr);
    assert!(!said(folder.path(), &["buy", "job", "--quiet"], 0).is_empty());
    assert!(complained(folder.path(), &["check", "nowhere", "-q"], 1).contains("nowhere"));
}

/// Progress is for somebody who watches.
#[test]
fn a_pipe_sees_no_progress() {
    let folder = example("three-panels");
    let output = facelay(folder.path(), &["plan", "job", "--out", "out"]);
    let errors = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{errors}");
    for word in ["\r", "\u{1b}", "arranging days", "drawing the odds"] {
        assert!(!errors.contains(word), "{errors}");
    }
}

/// A pipe gets no colour unless it is asked for, and colour is never all there is: the words are the same.
#[test]
fn colour_is_asked_for_and_never_alone() {
    let folder = example("three-panels");
    fs::write(
        folder.path().join("job/panels.csv"),
        "panel,width\nR1,wide\n",
    )
    .unwrap();
    let run = |variables: &[(&str, &str)]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_facelay"));
        for name in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
            command.env_remove(name);
        }
        let output = command
            .args(["check", "job"])
            .envs(variables.iter().copied())
            .current_dir(folder.path())
            .output()
            .unwrap();
        String::from_utf8(output.stderr).unwrap()
    };
    let plain = run(&[]);
    let coloured = run(&[("CLICOLOR_FORCE", "1")]);
    assert!(!plain.contains('\u{1b}') && coloured.contains('\u{1b}'));
    assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
    for variables in [
        &[("NO_COLOR", "1"), ("CLICOLOR_FORCE", "1")][..],
        &[("CLICOLOR", "0")],
    ] {
        assert_eq!(run(variables), plain, "{variables:?}");
    }
}

/// Whether a program is on this machine.
fn is_here(program: &str) -> bool {
    let found = Command::new("bash")
        .args(["-c", &format!("command -v {program}")])
        .output()
        .unwrap();
    found.status.success()
}

#[test]
fn completions_are_read_by_their_shells_and_name_every_command() {
    let folder = TempDir::new().unwrap();
    let names = commands();
    for (shell, check) in [
        ("bash", Some("bash -n completions")),
        ("zsh", Some("zsh -n completions")),
        ("fish", Some("fish --no-execute completions")),
        // PowerShell and Elvish are not packaged in Debian: what is written is looked at only.
        ("powershell", None),
        ("elvish", None),
    ] {
        let text = said(folder.path(), &["completions", shell], 0);
        for name in &names {
            assert!(text.contains(name.as_str()), "{shell}: {name}");
        }
        for option in ["out", "what-if", "quiet"] {
            assert!(text.contains(option), "{shell}: {option}");
        }
        let pairs = [('{', '}'), ('(', ')')];
        for (open, close) in pairs.iter().filter(|_| shell == "powershell") {
            let count = |letter: char| text.matches(letter).count();
            assert_eq!(count(*open), count(*close), "{shell}: {open}");
        }
        fs::write(folder.path().join("completions"), &text).unwrap();
        let Some(line) = check else { continue };
        if !is_here(shell) {
            println!("{shell} is not on this machine: its completions are not read by it");
            continue;
        }
        let read = Command::new("bash")
            .args(["-c", line])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert!(
            read.status.success() && read.stderr.is_empty(),
            "{shell}: {}",
            String::from_utf8_lossy(&read.stderr)
        );
    }
}

/// What bash offers once the completions are loaded.
#[test]
fn bash_completes_commands_and_options() {
    let folder = TempDir::new().unwrap();
    let text = said(folder.path(), &["completions", "bash"], 0);
    fs::write(folder.path().join("completions"), text).unwrap();
    let offered = |words: &str| -> BTreeSet<String> {
        let line = format!(
            "source completions; COMP_WORDS=({words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); \
             _facelay facelay \"${{COMP_WORDS[COMP_CWORD]}}\" \"${{COMP_WORDS[COMP_CWORD-1]}}\"; printf '%s\\n' \"${{COMPREPLY[@]}}\""
        );
        let run = Command::new("bash")
            .args(["-c", &line])
            .current_dir(folder.path())
            .output()
            .unwrap();
        let text = String::from_utf8(run.stdout).unwrap();
        text.lines().map(|line| line.trim().to_owned()).collect()
    };
    let commands = offered("facelay co");
    assert!(
        commands.contains("compare")
            && commands.contains("completions")
            && !commands.contains("plan"),
        "{commands:?}"
    );
    let options = offered("facelay days --w");
    assert_eq!(options, BTreeSet::from(["--what-if".to_owned()]));
}

#[test]
fn every_man_page_is_clean_and_has_what_help_has() {
    let folder = TempDir::new().unwrap();
    let names = commands();
    let mut pages = vec![(None, "facelay".to_owned())];
    pages.extend(
        names
            .iter()
            .map(|name| (Some(name.as_str()), format!("facelay-{name}"))),
    );
    for (name, title) in pages {
        let arguments: Vec<&str> = ["manual"].into_iter().chain(name).collect();
        let page = said(folder.path(), &arguments, 0);
        assert!(page.contains(&format!(".TH {title} 1")), "{page}");
        let help = match name {
            Some(name) => said(folder.path(), &["help", name], 0),
            None => said(folder.path(), &["--help"], 0),
        };
        fs::write(folder.path().join("page.1"), &page).unwrap();
        if !is_here("groff") {
            println!("groff is not on this machine: man pages are not read by it");
            continue;
        }
        let read = Command::new("groff")
            .args([
                "-man", "-Tutf8", "-ww", "-k", "-rLL=78n", "-P-c", "-P-b", "-P-u", "page.1",
            ])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(String::from_utf8_lossy(&read.stderr), "", "{title}");
        let shown = String::from_utf8(read.stdout).unwrap();
        for line in examples(&help) {
            assert!(shown.contains(&line), "{title}: {line}\n{shown}");
        }
        for option in help
            .split_whitespace()
            .filter(|word| word.starts_with("--"))
        {
            let option = option.trim_matches(|c: char| !c.is_alphanumeric() && c != '-');
            assert!(shown.contains(option), "{title}: {option}\n{shown}");
        }
    }
    assert!(
        complained(folder.path(), &["manual", "plann"], 1)
            .contains("write `plan` if that is meant")
    );
    let page = said(folder.path(), &["manual", "inputs"], 0);
    assert_eq!(page, facelay::job::guide());
}
