//! The command `tepid`: a thin shell over the library of the same name.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
