//! The store on PostgreSQL: two importers that race, killed at random; the same answers as from the file.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod cluster;
mod shop;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};

use cluster::Cluster;
use shop::{killed_after, month, office, run, said, took, wrong};

fn inbox(folder: &Path, technicians: u8) -> Vec<PathBuf> {
    let mut paths = Vec::new();
    for device in 1..=technicians {
        for (name, bytes) in month(device, &format!("Technician {device}")).1 {
            let path = folder.join(name);
            fs::write(&path, bytes).expect("the file is written");
            paths.push(path);
        }
    }
    paths
}

/// Returns all that a store says of days: the text and the table.
fn days(store: &str, table: &Path) -> (String, Vec<u8>) {
    let output = run("day", Path::new(store), &["--csv", table.to_str().expect("a plain path")]);
    (said(&output, 0), fs::read(table).expect("a table"))
}

fn starts(store: &str, paths: &[PathBuf]) -> Child {
    let mut command = office();
    command.args(["take-in", "--store", store]).args(paths).stdout(Stdio::null()).stderr(Stdio::piped());
    command.spawn().expect("the command runs")
}

#[test]
#[ignore = "needs PostgreSQL: cargo xtask test --only server"]
fn two_that_race_on_the_same_files_and_are_killed_come_to_the_same() {
    let (cluster, folder) = (Cluster::start(), tempfile::tempdir().expect("a folder"));
    let paths = inbox(folder.path(), 4);
    let backwards: Vec<PathBuf> = paths.iter().rev().cloned().collect();
    let (clean, table) = (folder.path().join("clean.quay"), folder.path().join("days.csv"));
    let words: Vec<&str> = paths.iter().filter_map(|path| path.to_str()).collect();
    said(&run("take-in", &clean, &words), 0);
    let expected = days(clean.to_str().expect("a plain path"), &table);
    // Kills go by how long it takes here, since a fast machine would be done before any fixed time.
    let (_, whole) = took(|| said(&run("take-in", Path::new(&cluster.database("whole")), &words), 0));
    let mut cut_short = 0;
    for round in 0..4 {
        let store = cluster.database(&format!("round_{round}"));
        // Both are killed, again and again, each a little later; the last two may end.
        for (one, other) in [(3, 8), (9, 16), (18, 30)] {
            let both = [starts(&store, &paths), starts(&store, &backwards)];
            for (running, fortieths) in both.into_iter().zip([one, other]) {
                cut_short += u32::from(killed_after(running, whole * (fortieths + round) / 40));
            }
        }
        for running in [starts(&store, &paths), starts(&store, &backwards)] {
            let ended = running.wait_with_output().expect("it ends");
            assert!(ended.status.success(), "{}", wrong(&ended));
        }
        assert_eq!(days(&store, &table), expected, "round {round}");
        let again = said(&run("take-in", Path::new(&store), &[paths[0].to_str().expect("a plain path")]), 0);
        assert!(again.ends_with("0 files taken in, 1 known already; new: 0 records, 0 photos\n"), "{again}");
    }
    assert!(cut_short > 3, "{cut_short} runs were cut short");
}

#[test]
#[ignore = "needs PostgreSQL: cargo xtask test --only server"]
fn a_database_without_a_store_is_not_made_one_by_asking_and_its_password_is_not_told() {
    let cluster = Cluster::start();
    let store = cluster.database("empty");
    let output = run("day", Path::new(&store), &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(wrong(&output).contains("there is no store here"), "{}", wrong(&output));
    let with_password = store.replacen("office@", "office:secret@", 1).replacen("/empty", "/missing", 1);
    let output = run("day", Path::new(&with_password), &[]);
    assert!(wrong(&output).contains("database \"missing\" does not exist"), "{}", wrong(&output));
    assert!(!wrong(&output).contains("secret"));
}
