//! The program `sowrota`: everything is in the library.
#![forbid(unsafe_code)]

fn main() {
    std::process::exit(sowrota::cli::run(std::env::args_os()));
}
