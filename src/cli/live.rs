//! `tepid live`.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::Done;
use super::exit::{Failure, print};
use tepid::live::Server;
use tepid_output::live;

/// Arguments of `live`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Writes the page to a file in place of serving it: it opens from disk, from a stick, from any server.
    #[arg(short, long, value_name = "FILE.html")]
    output: Option<PathBuf>,
    /// Port on this machine; 0: any that is free.
    #[arg(long, default_value_t = 7377, conflicts_with = "output")]
    port: u16,
}

/// Serves the page until somebody stops it, or writes it.
pub fn run(arguments: &Arguments) -> Done {
    let page = live::page().map_err(|error| Failure::Unfinished(error.to_string()))?;
    if let Some(path) = &arguments.output {
        return std::fs::write(path, page).map_err(|error| Failure::writing(path, error));
    }
    let port = arguments.port;
    let server = Server::bind(port, page).map_err(|error| {
        let other = if port == 0 {
            ""
        } else {
            "; --port 0 takes any that is free"
        };
        Failure::Unfinished(format!("cannot serve on port {port}: {error}{other}"))
    })?;
    let end = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&end);
    ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed))
        .map_err(|error| Failure::Unfinished(format!("cannot listen for Ctrl-C: {error}")))?;
    print(&format!(
        "The live tank: http://{}/ (Ctrl-C ends it)",
        server.address()
    ))?;
    server.serve(&end);
    Ok(())
}
