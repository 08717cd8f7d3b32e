//! The command line of Dowel.

fn main() -> std::process::ExitCode {
    dowel::cli::main()
}
