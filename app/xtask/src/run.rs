//! Running other programs: shown as they run, or heard for their answer.

use crate::Trouble;
use std::env;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitStatus};

/// Returns the root of the repository, where every task works.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_owned()
}

/// Returns a command that works at the root of the repository.
pub fn command(program: &str, words: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(words).current_dir(root());
    command
}

/// Returns cargo as a command: the cargo that runs this task, else the one on the PATH.
pub fn cargo(words: &[&str]) -> Command {
    let program = env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    command(&program, words)
}

/// Runs a command with its output going to the screen.
///
/// # Errors
/// When it cannot be started, or says that it failed.
pub fn show(command: &mut Command) -> Result<(), Trouble> {
    let status = command.status().map_err(|source| start(command, source))?;
    success(command, status)
}

/// Runs a command and returns what it printed.
///
/// # Errors
/// When it cannot be started, or says that it failed.
pub fn hear(command: &mut Command) -> Result<String, Trouble> {
    let output = command.output().map_err(|source| start(command, source))?;
    success(command, output.status)?;
    Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// Returns the command as one would type it.
pub fn typed(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let name = program.file_name().unwrap_or(program.as_os_str());
    let words = std::iter::once(name).chain(command.get_args());
    words.map(|word| quoted(&word.to_string_lossy())).collect::<Vec<_>>().join(" ")
}

fn quoted(word: &str) -> String {
    let plain = |it: char| it.is_ascii_alphanumeric() || "-_./=:@,+".contains(it);
    if !word.is_empty() && word.chars().all(plain) { word.to_owned() } else { format!("'{word}'") }
}

fn start(command: &Command, source: std::io::Error) -> Trouble {
    Trouble::Start { program: command.get_program().to_string_lossy().into_owned(), source }
}

fn success(command: &Command, status: ExitStatus) -> Result<(), Trouble> {
    if status.success() {
        return Ok(());
    }
    let ended = status.code().map_or_else(|| "a signal".to_owned(), |code| format!("exit code {code}"));
    Err(Trouble::Failed { command: typed(command), ended })
}

#[cfg(test)]
mod tests {
    use super::{command, hear, root, typed};

    #[test]
    fn the_root_holds_the_workspace() {
        assert!(root().join("Trunk.toml").is_file());
    }

    #[test]
    fn a_command_is_shown_as_one_would_type_it() {
        assert_eq!(typed(&command("/usr/bin/printf", &["%s", "two words"])), "printf '%s' 'two words'");
    }

    #[test]
    fn a_failure_names_the_command_and_its_end() {
        assert_eq!(hear(&mut command("printf", &["said"])).unwrap(), "said");
        let trouble = hear(&mut command("sh", &["-c", "exit 3"])).unwrap_err();
        assert_eq!(trouble.to_string(), "sh -c 'exit 3' ended with exit code 3");
    }
}
