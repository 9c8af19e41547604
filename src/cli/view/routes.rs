//! The addresses of the page and what each does: forms are posted, then the page is shown again.

use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::extract::Form;
use axum::extract::Multipart;
use axum::extract::Path;
use axum::extract::Request;
use axum::extract::State;
use axum::extract::multipart::MultipartError;
use axum::extract::multipart::MultipartRejection;
use axum::extract::rejection::FormRejection;
use axum::http::StatusCode;
use axum::http::header;
use axum::middleware;
use axum::middleware::Next;
use axum::response::Html;
use axum::response::IntoResponse;
use axum::response::Redirect;
use axum::response::Response;
use axum::routing::get;
use axum::routing::post;

use crate::view;
use crate::view::Fields;
use crate::view::Message;
use crate::view::Session;

use super::guard;
use super::guard::notice;
use super::work;
use super::work::Shared;

/// The most bytes of a form.
const FORM_LIMIT: usize = 1024 * 1024;

/// The most bytes of an uploaded table; one of 10,000 panels has about a tenth of it.
const UPLOAD_LIMIT: usize = 16 * 1024 * 1024;

/// What is too large is still read up to here, so that the browser gets to see the answer.
const DRAIN_LIMIT: usize = 256 * 1024 * 1024;

/// What every address works on.
#[derive(Clone, Debug)]
struct Desk {
    shared: Arc<Shared>,
    /// The page's own address.
    home: String,
}

type At = State<Desk>;

/// Every address of the page; each holds the token.
pub(super) fn all(shared: &Arc<Shared>, token: &str, port: u16) -> Router {
    let desk = Desk {
        shared: Arc::clone(shared),
        home: format!("/{token}/"),
    };
    let at = |end: &str| format!("/{token}/{end}");
    Router::new()
        .route(&at(""), get(page))
        .route(&at("plan"), post(plan))
        .route(&at("save"), post(save))
        .route(&at("clear"), post(clear))
        .route(&at("reload"), post(reload))
        .route(&at("own-panels"), post(own_panels))
        .layer(DefaultBodyLimit::max(FORM_LIMIT))
        .route(
            &at("panels"),
            post(panels).layer(DefaultBodyLimit::disable()),
        )
        .route(&at("files"), get(files))
        .route(&at("file/{*name}"), get(file))
        .fallback(unknown)
        .with_state(desk)
        .layer(middleware::from_fn(move |request: Request, next: Next| {
            guard::check(port, request, next)
        }))
}

async fn unknown() -> Response {
    notice(
        StatusCode::NOT_FOUND,
        "Nothing here",
        "Use the whole address that facelay printed when it was started.",
        false,
    )
}

/// The program itself is at fault: told, and the page goes on.
fn fault(text: &str) -> Response {
    notice(
        StatusCode::INTERNAL_SERVER_ERROR,
        "facelay itself is at fault",
        &format!("{text}. Report this with the job folder."),
        true,
    )
}

/// Shows the page after a form.
fn home(desk: &Desk, done: Result<(), String>) -> Response {
    match done {
        Ok(()) => Redirect::to(&desk.home).into_response(),
        Err(text) => fault(&text),
    }
}

async fn page(State(desk): At) -> Response {
    let shared = &desk.shared;
    let shown = match work::plan(shared).await {
        Ok(()) => work::with(shared, |session| view::main_page(session)).await,
        Err(text) => Err(text),
    };
    shown.map_or_else(|text| fault(&text), |page| Html(page).into_response())
}

/// A posted form, read.
type Posted = Result<Form<Vec<(String, String)>>, FormRejection>;

/// Takes the fields of the form into the session. False if they were not taken or, to be saved, were chosen over another state of the
/// folder; an answer if the form cannot be read.
async fn pick(desk: &Desk, posted: Posted, to_save: bool) -> Result<bool, Response> {
    let Form(fields) = posted.map_err(|rejection| {
        notice(
            rejection.status(),
            "This form cannot be read",
            "Go back to the plan and choose again.",
            true,
        )
    })?;
    let fields: Fields = fields.into_iter().collect();
    let picked = work::with(&desk.shared, move |session| {
        let as_read = fields.get("folder") == Some(&session.digest());
        let picked = session.pick(&fields);
        if picked && to_save && !as_read {
            session.say(Message::refused(
                "the folder was saved or read again after this page was loaded, so nothing was saved now",
                "look at the plan below, then save it",
            ));
        }
        picked && as_read
    });
    picked.await.map_err(|text| fault(&text))
}

async fn plan(State(desk): At, posted: Posted) -> Response {
    if let Err(answer) = pick(&desk, posted, false).await {
        return answer;
    }
    let done = work::plan(&desk.shared).await;
    home(&desk, done)
}

async fn save(State(desk): At, posted: Posted) -> Response {
    match pick(&desk, posted, true).await {
        Err(answer) => answer,
        Ok(false) => home(&desk, Ok(())),
        Ok(true) => {
            let done = work::save(&desk.shared).await;
            home(&desk, done)
        }
    }
}

async fn clear(State(desk): At) -> Response {
    let done = work::with(&desk.shared, Session::clear).await;
    home(&desk, done)
}

async fn own_panels(State(desk): At) -> Response {
    let done = work::with(&desk.shared, Session::drop_panels).await;
    home(&desk, done)
}

async fn reload(State(desk): At) -> Response {
    let done = work::reload(&desk.shared).await;
    home(&desk, done)
}

async fn panels(State(desk): At, sent: Result<Multipart, MultipartRejection>) -> Response {
    let received = match sent {
        Ok(sent) => receive(sent).await.ok(),
        Err(_) => None,
    };
    let Some(received) = received else {
        return notice(
            StatusCode::BAD_REQUEST,
            "This upload cannot be read",
            "Go back to the plan, choose the file and press the button again.",
            true,
        );
    };
    let Some((label, bytes)) = received else {
        return notice(
            StatusCode::PAYLOAD_TOO_LARGE,
            "This file is too large",
            &format!(
                "At most {} MiB are taken. Delete pictures and sheets that the panels do not need, and save it again.",
                UPLOAD_LIMIT >> 20
            ),
            true,
        );
    };
    let taken = work::with(&desk.shared, move |session| {
        session.take_panels(&label, bytes);
    });
    let done = taken.await;
    home(&desk, done)
}

/// The file sent, and what the person calls it; none if it is too large. Whatever else is sent is passed over.
async fn receive(mut sent: Multipart) -> Result<Option<(String, Vec<u8>)>, MultipartError> {
    let (mut label, mut bytes, mut all) = (String::new(), Vec::new(), 0_usize);
    while let Some(mut field) = sent.next_field().await? {
        let is_panels = field.name() == Some("panels");
        if is_panels {
            label = field.file_name().unwrap_or("").to_owned();
        }
        while let Some(chunk) = field.chunk().await? {
            all += chunk.len();
            if all > DRAIN_LIMIT {
                return Ok(None);
            }
            if is_panels && all <= UPLOAD_LIMIT {
                bytes.extend_from_slice(&chunk);
            }
        }
    }
    Ok((all <= UPLOAD_LIMIT).then_some((label, bytes)))
}

async fn files(State(desk): At) -> Response {
    let shared = &desk.shared;
    let finished = match work::finish(shared).await {
        Ok(finished) => finished,
        Err(text) => return fault(&text),
    };
    let shown = work::with(shared, move |session| {
        view::files_page(session, finished.as_deref())
    });
    let shown = shown.await;
    shown.map_or_else(|text| fault(&text), |page| Html(page).into_response())
}

/// Hands over a file of the plan by the name that it has in memory; the disk is never asked.
async fn file(State(desk): At, Path(name): Path<String>) -> Response {
    let finished = match work::finish_at_all(&desk.shared).await {
        Ok(finished) => finished,
        Err(text) => return fault(&text),
    };
    let outputs = finished.iter().flat_map(|finished| &finished.outputs);
    let Some((name, bytes)) = outputs.into_iter().find(|(known, _)| *known == name) else {
        return notice(
            StatusCode::NOT_FOUND,
            "No such file",
            "The plan has no file of that name, or it is still being made. Look at the list of files.",
            true,
        );
    };
    let last = name.rsplit('/').next().unwrap_or(name);
    let headers = [
        (header::CONTENT_TYPE, kind(last).to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{last}\""),
        ),
    ];
    (headers, bytes.clone()).into_response()
}

/// The media type of a file by its ending.
fn kind(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("xlsx") => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        Some("pdf") => "application/pdf",
        Some("svg") => "image/svg+xml",
        Some("csv") => "text/csv; charset=utf-8",
        Some("zip") => "application/zip",
        Some("ics") => "text/calendar; charset=utf-8",
        Some("json") => "application/json",
        Some("html") => "text/html; charset=utf-8",
        _ => "application/octet-stream",
    }
}
