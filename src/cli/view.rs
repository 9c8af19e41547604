//! `facelay view JOB`: the page over a job, served to browsers on this computer only, until Ctrl+C.

mod guard;
mod routes;
mod work;

use std::io;
use std::net::Ipv4Addr;

use tokio::net::TcpListener;

use crate::files;
use crate::view::Session;

use super::Ending;
use super::args::View;
use super::say;

use work::Shared;

/// Reads the job folder, serves its page, and ends when it is told to.
pub(super) fn run(arguments: &View) -> Ending {
    let files = match files::read_job(&arguments.job) {
        Ok(files) => files,
        Err(trouble) => {
            say::trouble(&trouble);
            return Ending::Refused;
        }
    };
    let mut secret = [0_u8; 16];
    if let Err(trouble) = getrandom::fill(&mut secret) {
        say::error(
            format!("this computer gives no random numbers for the page's address: {trouble}"),
            "report this",
        );
        return Ending::Refused;
    }
    let token = secret
        .iter()
        .fold(String::new(), |text, byte| text + &format!("{byte:02x}"));
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build();
    let runtime = match runtime {
        Ok(runtime) => runtime,
        Err(trouble) => return refused(&trouble),
    };
    let session = Session::of(files);
    let ending = runtime.block_on(serve(arguments, session, token));
    // What is still being planned is nobody's any more.
    runtime.shutdown_background();
    ending
}

async fn serve(arguments: &View, session: Session, token: String) -> Ending {
    let (listener, port) = match listen(arguments.port).await {
        Ok(found) => found,
        Err(trouble) => return refused(&trouble),
    };
    let shared = Shared::new(session, arguments.job.clone());
    let served = axum::serve(listener, routes::all(&shared, &token, port));
    let printed = say::print(told(arguments, port, &token).as_bytes());
    if printed == Ending::Refused {
        return printed;
    }
    work::plan_behind(&shared);
    tokio::select! {
        ended = served => match ended {
            Ok(()) => Ending::Done,
            Err(trouble) => refused(&trouble),
        },
        heard = tokio::signal::ctrl_c() => {
            // Half a save would be worse than none.
            let _saved = shared.saving.lock().await;
            match heard {
                Ok(()) => say::print(b"\nstopped; the job folder has what was saved, and nothing else\n"),
                Err(trouble) => refused(&trouble),
            }
        }
    }
}

/// Where to find the page, and how to stop.
fn told(arguments: &View, port: u16, token: &str) -> String {
    let mut text = String::new();
    if port != arguments.port && arguments.port != 0 {
        text = format!(
            "Port {} is in use, so this is on port {port}.\n",
            arguments.port
        );
    }
    text + &format!(
        "Open this address in a browser on this computer; nobody else can:\n  \
           http://127.0.0.1:{port}/{token}/\n\
         Stop with Ctrl+C. Nothing in {} changes until you press Save on the page.\n",
        arguments.job.display()
    )
}

/// How many ports after one in use are tried before any free one is taken.
const NEXT_PORTS: u16 = 20;

/// Listens on this computer only: on the port, else the next free one, else any.
async fn listen(port: u16) -> io::Result<(TcpListener, u16)> {
    let next = (0..=NEXT_PORTS).filter_map(|more| port.checked_add(more));
    for port in next.chain([0]) {
        match TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await {
            Ok(listener) => {
                let port = listener.local_addr()?.port();
                return Ok((listener, port));
            }
            Err(trouble) if trouble.kind() == io::ErrorKind::AddrInUse => {}
            Err(trouble) => return Err(trouble),
        }
    }
    Err(io::ErrorKind::AddrInUse.into())
}

fn refused(trouble: &io::Error) -> Ending {
    say::error(
        format!("the page cannot be served: {trouble}"),
        "try another port, such as `--port 8800`",
    );
    Ending::Refused
}
