//! `cargo verify`: every test, Rust and Python, on a machine that has git, a C linker, cargo and python3 with pip.
//!
//! Nothing is installed outside `target`: the package goes to `target/python`, what its tests need to
//! `target/python-tests`. `PYTHON` names another interpreter than `python3`.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

fn main() -> ExitCode {
    match verify() {
        Ok(()) => {
            say("everything passed");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("\ncargo verify: {why}");
            ExitCode::FAILURE
        }
    }
}

fn say(what: &str) {
    eprintln!("\n== {what}");
}

fn verify() -> Result<(), String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).ok_or("the workspace has no root")?;
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let python = std::env::var_os("PYTHON").unwrap_or_else(|| "python3".into());

    say("Rust tests");
    run(Command::new(&cargo)
        .args(["test", "--workspace", "--exclude", "slopewright-python"])
        .current_dir(root))?;

    say("building the Python package");
    let version = "import sys; sys.exit(sys.version_info < (3, 10))";
    run(Command::new(&python).args(["-c", version]))
        .map_err(|_| "needs python3 of version 3.10 or later".to_owned())?;
    let package = root.join("target/python");
    // pip leaves modules behind that the package no longer has.
    remove(&package)?;
    run(Command::new(&python)
        .args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-deps", "--target"])
        .arg(&package)
        .arg(".")
        .current_dir(root))?;
    let needs = test_needs(root, &python)?;

    say("Python tests");
    let path = std::env::join_paths([&package, &needs]).map_err(|error| error.to_string())?;
    run(Command::new(&python).args(["-m", "pytest"]).env("PYTHONPATH", path).current_dir(root))
}

/// Installs what the Python tests need, once for each list of needs and interpreter.
fn test_needs(root: &Path, python: &OsString) -> Result<PathBuf, String> {
    let project = std::fs::read_to_string(root.join("pyproject.toml")).map_err(|error| error.to_string())?;
    let needs: Vec<&str> = project
        .lines()
        .find_map(|line| line.strip_prefix("test = ["))
        .ok_or("pyproject.toml has no list of test dependencies")?
        .split('"')
        .filter(|part| part.starts_with(char::is_alphabetic))
        .collect();
    let place = root.join("target/python-tests");
    let stamp = place.join("installed-for");
    let wanted = format!("{} {}", python.display(), needs.join(" "));
    if std::fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted) {
        return Ok(place);
    }
    say("installing what the Python tests need");
    remove(&place)?;
    run(Command::new(python)
        .args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--target"])
        .arg(&place)
        .args(&needs))?;
    std::fs::write(&stamp, wanted).map_err(|error| error.to_string())?;
    Ok(place)
}

fn remove(folder: &Path) -> Result<(), String> {
    match std::fs::remove_dir_all(folder) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            Err(format!("{}: {error}", folder.display()))
        }
        _ => Ok(()),
    }
}

fn run(command: &mut Command) -> Result<(), String> {
    let name = command.get_program().to_string_lossy().into_owned();
    let arguments: Vec<_> =
        command.get_args().map(|argument| argument.to_string_lossy().into_owned()).collect();
    let called = format!("{name} {}", arguments.join(" "));
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(format!("`{called}` ended with {status}")),
        Err(error) => Err(format!("`{called}` cannot be started: {error}")),
    }
}
