//! `facelay view` over a real socket: who may ask, what a form may say, what saving writes, and what it refuses.

use std::fs;
use std::io::BufRead;
use std::io::BufReader;
use std::io::Read;
use std::io::Write;
use std::net::TcpListener;
use std::net::TcpStream;
use std::path::Path;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;
use std::time::Duration;

use super::cli::complained;
use super::cli::example;
use super::cli::said;
use super::folders::contents;

/// A page that is served; stopped when dropped.
struct Served {
    child: Child,
    port: u16,
    /// The page's path: a slash, the token, a slash.
    home: String,
    /// What was printed before the address.
    printed: String,
}

/// Stands for no answer at all.
const HUNG_UP: u16 = 0;

/// An answer of the server.
#[derive(Debug)]
struct Answer {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Answer {
    fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        self.child.kill().unwrap_or_default();
        self.child.wait().map(drop).unwrap_or_default();
    }
}

impl Served {
    fn start(folder: &Path, arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_facelay"))
            .current_dir(folder)
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut printed = String::new();
        let address = loop {
            let Some(line) = lines.next() else {
                let mut errors = String::new();
                child
                    .stderr
                    .take()
                    .unwrap()
                    .read_to_string(&mut errors)
                    .unwrap();
                panic!("no address was printed: {printed}{errors}");
            };
            let line = line.unwrap();
            printed += &format!("{line}\n");
            if let Some(address) = line.trim().strip_prefix("http://127.0.0.1:") {
                break address.to_owned();
            }
        };
        // The pipe is read to its end, so that nothing the program prints has to wait.
        std::thread::spawn(move || lines.for_each(drop));
        let (port, path) = address.split_once('/').unwrap();
        Self {
            child,
            port: port.parse().unwrap(),
            home: format!("/{path}"),
            printed,
        }
    }

    fn of(folder: &Path) -> Self {
        Self::start(folder, &["view", "job", "--port", "0"])
    }

    fn raw(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_mins(4)))
            .unwrap();
        // One who refuses a body may hang up before all of it is sent.
        stream.write_all(request).unwrap_or_default();
        let mut all = Vec::new();
        stream.read_to_end(&mut all).unwrap_or_default();
        let Some(end) = all.windows(4).position(|four| four == b"\r\n\r\n") else {
            return Answer {
                status: HUNG_UP,
                head: String::new(),
                body: all,
            };
        };
        let head = String::from_utf8(all[..end].to_vec()).unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Answer {
            status,
            head,
            body: all[end + 4..].to_vec(),
        }
    }

    fn send(&self, method: &str, path: &str, headers: &str, body: &[u8]) -> Answer {
        let port = self.port;
        let host = if headers.contains("Host:") {
            String::new()
        } else {
            format!("Host: 127.0.0.1:{port}\r\n")
        };
        let mut request = format!(
            "{method} {path} HTTP/1.1\r\n{host}Connection: close\r\nContent-Length: {}\r\n{headers}\r\n",
            body.len()
        )
        .into_bytes();
        request.extend(body);
        self.raw(&request)
    }

    fn get(&self, path: &str) -> Answer {
        self.send("GET", &format!("{}{path}", self.home), "", b"")
    }

    /// The page, once nothing is being planned any more.
    fn page(&self) -> String {
        loop {
            let answer = self.get("");
            assert_eq!(answer.status, 200, "{}", answer.text());
            let page = answer.text();
            if !page.contains("Still planning") {
                return page;
            }
        }
    }

    fn origin(&self) -> String {
        format!("Origin: http://127.0.0.1:{}\r\n", self.port)
    }

    /// Posts a form with the hidden fields that the page has now.
    fn post(&self, to: &str, fields: &[(&str, &str)]) -> Answer {
        let page = self.page();
        self.post_from(&page, to, fields)
    }

    /// Posts a form of a page that was loaded before.
    fn post_from(&self, page: &str, to: &str, fields: &[(&str, &str)]) -> Answer {
        let hidden = ["form", "folder", "shown_case"].map(|name| (name, hidden(page, name)));
        let mut body: Vec<String> = hidden
            .iter()
            .map(|(name, value)| pair(name, value))
            .collect();
        body.extend(fields.iter().map(|(name, value)| pair(name, value)));
        let headers = self.origin() + "Content-Type: application/x-www-form-urlencoded\r\n";
        self.send(
            "POST",
            &format!("{}{to}", self.home),
            &headers,
            body.join("&").as_bytes(),
        )
    }

    /// Sends a file as a browser does.
    fn upload(&self, label: &str, bytes: &[u8]) -> Answer {
        let headers = self.origin() + "Content-Type: multipart/form-data; boundary=edge\r\n";
        let mut body = format!(
            "--edge\r\nContent-Disposition: form-data; name=\"panels\"; filename=\"{label}\"\r\n\r\n"
        )
        .into_bytes();
        body.extend(bytes);
        body.extend(b"\r\n--edge--\r\n");
        self.send("POST", &format!("{}panels", self.home), &headers, &body)
    }
}

fn pair(name: &str, value: &str) -> String {
    let value: String = value.bytes().map(|byte| format!("%{byte:02X}")).collect();
    format!("{name}={value}")
}

/// The value of a hidden field, as the server escaped it.
fn hidden(page: &str, name: &str) -> String {
    let mark = format!("name=\"{name}\" value=\"");
    let Some(at) = page.find(&mark) else {
        return String::new();
    };
    let rest = &page[at + mark.len()..];
    rest[..rest.find('"').unwrap()].to_owned()
}

/// What stands above the report, for messages.
fn top(page: &str) -> &str {
    let from = page.find("<section class=\"view\"").unwrap_or(0);
    let rest = &page[from..];
    &rest[..rest.find("</section>").unwrap_or(rest.len())]
}

/// Starts a line that serves and sees that its page is there: how help and README are tried.
pub(crate) fn serves(folder: &Path, arguments: &[&str]) {
    let served = Served::start(folder, arguments);
    assert!(served.page().contains("Plan again"));
}

#[test]
fn only_browsers_on_this_computer_with_the_whole_address_are_answered() {
    let folder = example("three-panels");
    let served = Served::of(folder.path());
    assert!(served.printed.contains("Open this address"));
    let good = served.get("");
    assert_eq!(good.status, 200);
    let head = good.head.to_lowercase();
    for header in [
        "content-security-policy: default-src 'none'",
        "frame-ancestors 'none'",
        "cache-control: no-store",
        "x-content-type-options: nosniff",
        "referrer-policy: same-origin",
    ] {
        assert!(head.contains(header), "{head}");
    }
    assert!(!good.text().contains("<script"), "no scripts are sent");
    let token = served.home.trim_matches('/');
    assert_eq!(token.len(), 32, "128 bits");
    let wrong = format!("/{}/", token.chars().rev().collect::<String>());
    for path in [
        "/",
        &wrong,
        "/favicon.ico",
        &format!("/{token}x/"),
        "//",
        &format!("/{}/", &token[..31]),
    ] {
        assert_eq!(served.send("GET", path, "", b"").status, 404, "{path}");
    }
    // A site that has its own name lead to this computer is not answered.
    for host in [
        "evil.example",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost.evil.example",
        "",
    ] {
        let answer = served.send("GET", &served.home, &format!("Host: {host}\r\n"), b"");
        assert!(
            [400, 403].contains(&answer.status),
            "{host}: {}",
            answer.status
        );
    }
    let port = served.port;
    let local = served.send(
        "GET",
        &served.home,
        &format!("Host: localhost:{port}\r\n"),
        b"",
    );
    assert_eq!(local.status, 200);
    let two = format!("Host: 127.0.0.1:{port}\r\nHost: evil.example\r\n");
    assert!([400, 403].contains(&served.send("GET", &served.home, &two, b"").status));
    // A form that another page sends is refused, and so is one that does not say where it comes from.
    let clear = format!("{}clear", served.home);
    for origin in [
        "",
        "Origin: null\r\n",
        "Origin: http://evil.example\r\n",
        "Origin: http://127.0.0.1\r\n",
    ] {
        assert_eq!(
            served.send("POST", &clear, origin, b"").status,
            403,
            "{origin}"
        );
    }
    assert_eq!(
        served.send("POST", &clear, &served.origin(), b"").status,
        303
    );
    assert_eq!(served.send("GET", &clear, "", b"").status, 405);
    // Bound to 127.0.0.1 alone: the next address of the same loopback is deaf.
    assert!(TcpStream::connect(("127.0.0.2", port)).is_err());
}

#[test]
fn files_are_those_of_plan_and_no_path_leads_elsewhere() {
    let folder = example("three-panels");
    fs::create_dir(folder.path().join("job/inner")).unwrap();
    let before = contents(&folder.path().join("job"));
    let served = Served::of(folder.path());
    let list = loop {
        let list = served.get("files").text();
        if list.contains("plan.zip") {
            break list;
        }
    };
    let all = served.get("file/plan.zip").body;
    let mut all = zip::ZipArchive::new(std::io::Cursor::new(all)).unwrap();
    said(folder.path(), &["plan", "job", "--out", "out"], 0);
    for (name, bytes) in contents(&folder.path().join("out")) {
        if name.starts_with('.') {
            continue;
        }
        assert!(
            list.contains(&format!("href=\"file/{name}\"")),
            "{name} is not listed"
        );
        let answer = served.get(&format!("file/{name}"));
        assert_eq!(answer.status, 200, "{name}");
        assert_eq!(answer.body, bytes, "{name}");
        assert!(all.by_name(&format!("plan/{name}")).is_ok(), "{name}");
        assert!(
            answer
                .head
                .to_lowercase()
                .contains("content-disposition: attachment")
        );
    }
    for name in [
        "",
        ".",
        "..",
        "../job.toml",
        "..%2fjob.toml",
        "%2e%2e%2fjob.toml",
        "..%5cjob.toml",
        "cut-sheets/../../job/job.toml",
        "cut-sheets%2f..%2f..%2fjob.toml",
        "/etc/passwd",
        "%2fetc%2fpasswd",
        "job.toml",
        "bid.xlsx%00.csv",
        "bid.xlsx/",
        "BID.XLSX",
        "%ff%fe",
        "file:///etc/passwd",
        &"x".repeat(20_000),
    ] {
        let answer = served.get(&format!("file/{name}"));
        assert!(
            (400..500).contains(&answer.status),
            "{name}: {}",
            answer.status
        );
        assert!(!answer.text().contains("currency"), "{name}");
    }
    let after = contents(&folder.path().join("job"));
    assert_eq!(before, after, "looking changes nothing");
}

#[test]
fn a_change_is_shown_then_saved_then_followed_and_taken_back() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let before = contents(&job);
    let served = Served::of(folder.path());
    let first = served.page();
    assert!(first.contains("This is the job as its folder has it"));
    let answer = served.post(
        "plan",
        &[
            ("recipe_of_all", "stiff-glue"),
            ("people.1", "3"),
            ("hours.site.fri", "08:00-12:00"),
        ],
    );
    assert_eq!(answer.status, 303);
    let page = served.page();
    for words in [
        "What changed",
        "Price with tax",
        "Drums",
        "Not saved",
        "In the folder",
    ] {
        assert!(page.contains(words), "{words}: {}", top(&page));
    }
    // What is new stands first, where a narrow window shows it; the plan before is the folder's, told once; the keyboard goes on there.
    let at = |words: &str| page.find(words).unwrap();
    assert!(at("<th scope=\"col\">Now") < at("<th scope=\"col\">In the folder"));
    assert!(!page.contains("Before the last change"), "{}", top(&page));
    assert!(
        page.contains("aria-labelledby=\"changed\" autofocus"),
        "{}",
        top(&page)
    );
    assert_eq!(contents(&job), before, "nothing is written before saving");
    served.post("save", &[("people.1", "3")]);
    let page = served.page();
    assert!(page.contains("saved in the job folder"), "{}", top(&page));
    let choices = fs::read_to_string(job.join("choices.toml")).unwrap();
    assert_eq!(
        choices,
        "# What was chosen on the page of `facelay view`. It goes before job.toml and the tables for every command.\n\
         # Delete this file to go back to them.\n\
         \n[[choice]]\npeople = { \"conservator\" = 3 }\n\
         \n[[choice]]\npanels = [\"R1\", \"R2\"]\nrecipe = \"stiff-glue\"\n\
         \n[hours]\nsite = { mon = [\"08:00-12:00\", \"12:30-16:30\"], tue = [\"08:00-12:00\", \"12:30-16:30\"], \
         wed = [\"08:00-12:00\", \"12:30-16:30\"], thu = [\"08:00-12:00\", \"12:30-16:30\"], fri = [\"08:00-12:00\"] }\n"
    );
    let others: std::collections::BTreeMap<_, _> = contents(&job)
        .into_iter()
        .filter(|(name, _)| name != "choices.toml")
        .collect();
    assert_eq!(others, before, "nothing else is written");
    // Every command follows the choices and says so.
    let told = complained(folder.path(), &["check", "job"], 0);
    assert!(
        told.contains("choices made on the page go before job.toml"),
        "{told}"
    );
    assert!(told.contains("delete `choices.toml` to go back"), "{told}");
    let shown = said(folder.path(), &["quantities", "job"], 0);
    assert!(!shown.contains("supple-paste"), "{shown}");
    // A page started anew has the choices in its form.
    let again = Served::of(folder.path());
    let page = again.page();
    assert!(
        page.contains("with the choices saved there"),
        "{}",
        top(&page)
    );
    assert!(page.contains("value=\"3\""), "{}", top(&page));
    // Dropping all choices and saving takes the file away.
    again.post("clear", &[]);
    assert!(again.page().contains("Not saved"));
    again.post("save", &[]);
    assert!(again.page().contains("there is no `choices.toml`"));
    assert_eq!(contents(&job), before);
}

#[test]
fn what_a_form_cannot_say_is_told_and_not_saved() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let before = contents(&job);
    let served = Served::of(folder.path());
    for (field, value, told) in [
        ("people.1", "many", "`many`"),
        ("people.1", "-1", "`-1`"),
        ("people.1", "99999999999", "`99999999999`"),
        ("first_day", "tomorrow", "`tomorrow` is no date"),
        ("first_day", "2027-05-01", "is before the first working day"),
        ("hand_over", "2027-02-30", "`2027-02-30`"),
        ("hours.site.mon", "soon", "`soon` is no span of hours"),
        ("hours.site.mon", "08:00-12:00, 11:00-13:00", "overlap"),
        ("recipe.0", "no-such", "there is no recipe `no-such`"),
        ("recipe_of_all", "\"]\ncase = \"x", "there is no recipe"),
        ("case", "nowhere", "there is no case `nowhere`"),
    ] {
        let answer = served.post("save", &[(field, value)]);
        assert_eq!(answer.status, 303, "{field}={value}");
        let page = served.page();
        let told = told.replace('"', "&quot;");
        assert!(page.contains(&told), "{field}={value}: {}", top(&page));
        assert!(page.contains("nothing was saved"), "{field}={value}");
        // A day chosen too late is told where the day that it is later than stands.
        let is_told_here = page.contains("the choices on this page") || value == "2027-05-01";
        assert!(is_told_here, "{field}={value}");
        assert!(!page.contains("at fault"), "{field}={value}");
        served.post("clear", &[]);
    }
    assert_eq!(contents(&job), before);
    // Fields that do not exist are passed over; a page made for other panels is refused.
    served.post(
        "plan",
        &[
            ("recipe.99999", "x"),
            ("people.x", "1"),
            ("__proto__", "1"),
            ("hours.moon.0", "x"),
        ],
    );
    assert!(
        served
            .page()
            .contains("This is the job as its folder has it")
    );
    let old = served.page();
    let table = fs::read(job.join("panels.csv")).unwrap();
    served.upload("mine.csv", &table);
    assert_eq!(
        served
            .post_from(&old, "plan", &[("recipe.0", "water-based")])
            .status,
        303
    );
    assert!(served.page().contains("this page was out of date"));
    // Bodies that are no forms.
    let plan = format!("{}plan", served.home);
    let kind = |kind: &str| format!("{}Content-Type: {kind}\r\n", served.origin());
    let form = kind("application/x-www-form-urlencoded");
    for (headers, body) in [
        (&kind("text/plain"), &b"form=1"[..]),
        (&served.origin(), b"form=1"),
        (&form, b"%ff%fe=%00&&&=&form"),
        (&kind("multipart/form-data; boundary=x"), b"--x"),
    ] {
        let answer = served.send("POST", &plan, headers, body);
        assert!(
            answer.status == 303 || (400..500).contains(&answer.status),
            "{}",
            answer.status
        );
    }
    let long = format!("form={}", "1".repeat(2 * 1024 * 1024));
    let refused = served.send("POST", &plan, &form, long.as_bytes());
    assert!(
        [413, HUNG_UP].contains(&refused.status),
        "{}",
        refused.status
    );
    assert_eq!(served.get("").status, 200, "and it still answers");
}

#[test]
fn an_uploaded_table_is_tried_and_takes_its_place_only_when_saved() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let served = Served::of(folder.path());
    served.page();
    let own = fs::read_to_string(job.join("panels.csv")).unwrap();
    // One that has mistakes changes nothing, and its cells are named.
    let bad = own
        .replace("stiff-glue", "stif-glue")
        .replace("flaking", "x");
    served.upload("walls <b>.csv", bad.as_bytes());
    let page = served.page();
    assert!(
        page.contains("panels.csv, row 4, column recipe"),
        "{}",
        top(&page)
    );
    assert!(page.contains("write `stiff-glue`"), "{}", top(&page));
    assert!(page.contains("walls &lt;b&gt;.csv"), "{}", top(&page));
    assert!(
        page.contains("This is the job as its folder has it"),
        "{}",
        top(&page)
    );
    for bytes in [
        &b""[..],
        b"PK\x03\x04 no archive",
        b"\xd0\xcf\x11\xe0old",
        b"\x00\xff\x00\xff",
        b"panel\n",
    ] {
        assert_eq!(served.upload("x.xlsx", bytes).status, 303);
        assert!(served.page().contains("Not done"));
    }
    // What is no upload, and what is too large.
    let to = format!("{}panels", served.home);
    assert_eq!(
        served
            .send("POST", &to, &served.origin(), b"panels=1")
            .status,
        400
    );
    let torn = served.origin() + "Content-Type: multipart/form-data; boundary=edge\r\n";
    assert_eq!(
        served
            .send("POST", &to, &torn, b"--edge\r\nnonsense")
            .status,
        400
    );
    let large = served.upload("large.csv", &vec![b'x'; 17 * 1024 * 1024]);
    assert_eq!(large.status, 413);
    assert!(large.text().contains("16 MiB"), "{}", large.text());
    // A good one is planned with; its label is never a path.
    let good = own.replace("R1,", "R7,");
    served.upload("../../job.toml", good.as_bytes());
    let page = served.page();
    assert!(
        page.contains("R7") && page.contains("Not saved"),
        "{}",
        top(&page)
    );
    assert_eq!(fs::read_to_string(job.join("panels.csv")).unwrap(), own);
    served.post("save", &[]);
    let page = served.page();
    assert!(
        page.contains("kept as `panels (before 1).csv`"),
        "{}",
        top(&page)
    );
    assert_eq!(fs::read_to_string(job.join("panels.csv")).unwrap(), good);
    assert_eq!(
        fs::read_to_string(job.join("panels (before 1).csv")).unwrap(),
        own
    );
    assert!(!job.join("choices.toml").exists());
    assert!(said(folder.path(), &["quantities", "job"], 0).contains("R7"));
    // Back to the folder's panels without saving.
    served.upload("again.csv", own.as_bytes());
    assert!(served.page().contains("Back to the panels in the folder"));
    served.send(
        "POST",
        &format!("{}own-panels", served.home),
        &served.origin(),
        b"",
    );
    assert!(
        served
            .page()
            .contains("This is the job as its folder has it")
    );
}

#[test]
fn of_two_people_who_save_the_second_is_told() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let (one, other) = (Served::of(folder.path()), Served::of(folder.path()));
    other.post("plan", &[("people.1", "5")]);
    one.post("save", &[("people.1", "4")]);
    assert!(one.page().contains("saved in the job folder"));
    other.post("save", &[("people.1", "5")]);
    let page = other.page();
    assert!(
        page.contains("somebody changed the job folder"),
        "{}",
        top(&page)
    );
    assert!(
        page.contains("`choices.toml`") && page.contains("Read the folder again"),
        "{}",
        top(&page)
    );
    assert!(
        page.contains("value=\"5\""),
        "what was chosen is still there: {}",
        top(&page)
    );
    let saved = fs::read_to_string(job.join("choices.toml")).unwrap();
    assert!(saved.contains("\"conservator\" = 4"), "{saved}");
    other.send(
        "POST",
        &format!("{}reload", other.home),
        &other.origin(),
        b"",
    );
    assert!(other.page().contains("value=\"4\""));
    other.post("save", &[("people.1", "5")]);
    assert!(
        fs::read_to_string(job.join("choices.toml"))
            .unwrap()
            .contains("= 5")
    );
    // Two windows of one page: the older one may not save over what it never showed.
    let old = one.page();
    one.send("POST", &format!("{}reload", one.home), &one.origin(), b"");
    one.post_from(&old, "save", &[("people.1", "7")]);
    assert!(one.page().contains("this page was out of date"));
    assert!(
        fs::read_to_string(job.join("choices.toml"))
            .unwrap()
            .contains("= 5")
    );
}

#[test]
fn a_folder_that_cannot_be_written_loses_nothing() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    fs::create_dir(job.join("choices.toml")).unwrap();
    let before = contents(&job);
    let served = Served::of(folder.path());
    served.post("save", &[("people.1", "3")]);
    let page = served.page();
    assert!(
        page.contains("nothing was saved") && page.contains("choices.toml"),
        "{}",
        top(&page)
    );
    assert!(
        page.contains("what you chose is still on this page"),
        "{}",
        top(&page)
    );
    assert!(page.contains("value=\"3\""), "{}", top(&page));
    assert_eq!(contents(&job), before);
    fs::remove_dir(job.join("choices.toml")).unwrap();
    served.post("save", &[("people.1", "3")]);
    assert!(job.join("choices.toml").is_file());
}

#[test]
fn a_port_in_use_gives_way_to_the_next() {
    let folder = example("three-panels");
    let taken = TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = taken.local_addr().unwrap().port();
    let served = Served::start(folder.path(), &["view", "job", "--port", &port.to_string()]);
    assert_ne!(served.port, port);
    assert!(
        served.printed.contains(&format!("Port {port} is in use")),
        "{}",
        served.printed
    );
    assert_eq!(served.get("").status, 200);
}

#[test]
fn a_job_with_errors_is_served_with_them_and_mended_without_a_restart() {
    let folder = example("three-panels");
    let job = folder.path().join("job");
    let own = fs::read_to_string(job.join("panels.csv")).unwrap();
    let names = "R1<script>alert(1)</script>\u{202e}\u{5d0}\u{1f5bc}";
    fs::write(
        job.join("panels.csv"),
        own.replace("stiff-glue", "nothing")
            .replace("R1,", &format!("{names},")),
    )
    .unwrap();
    let served = Served::of(folder.path());
    let page = served.page();
    assert!(
        page.contains("there is no recipe `nothing`"),
        "{}",
        top(&page)
    );
    assert!(page.contains("row 4, column recipe"), "{}", top(&page));
    let files = served.get("files").text();
    assert!(files.contains("so there are no files"), "{files}");
    fs::write(
        job.join("panels.csv"),
        own.replace("R1,", &format!("{names},")),
    )
    .unwrap();
    served.send(
        "POST",
        &format!("{}reload", served.home),
        &served.origin(),
        b"",
    );
    let page = served.page();
    assert!(page.contains("Plan again"), "{}", top(&page));
    assert!(!page.contains("<script"), "names are shown as text");
    assert!(page.contains("&lt;script&gt;"), "{}", top(&page));
    let text = complained(folder.path(), &["view", "nowhere"], 1);
    assert!(text.contains("nowhere"), "{text}");
}

/// Ctrl+C ends it as it should end: exit code 0.
#[cfg(unix)]
#[test]
fn it_stops_when_told_to() {
    let folder = example("three-panels");
    let mut served = Served::of(folder.path());
    served.page();
    let told = Command::new("kill")
        .args(["-INT", &served.child.id().to_string()])
        .status()
        .unwrap();
    assert!(told.success());
    assert_eq!(served.child.wait().unwrap().code(), Some(0));
}
