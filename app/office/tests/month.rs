//! The made-up yard's month, dropped in twice and in any order, against bills worked by hand.
#![allow(clippy::expect_used, reason = "a test stops where it cannot go on")]

mod cluster;
mod shop;

use std::fs;
use std::path::{Path, PathBuf};

use cluster::Cluster;
use quaywright_xtask::demo::month;
use shop::{run, said, wrong};

fn given(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/month").join(name)
}

/// Returns all paths twice, in an order that the seed decides (Knuth, volume 2, 3.3.4).
fn twice(paths: &[PathBuf], mut seed: u64) -> Vec<PathBuf> {
    let mut left = [paths, paths].concat();
    let mut order = Vec::new();
    while !left.is_empty() {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        order.push(left.remove((seed >> 33) as usize % left.len()));
    }
    order
}

/// Takes the month into a store and looks at what goes out of it.
fn gives_the_hand_worked_table(store: &str, seed: u64, folder: &Path) {
    let write = |file: month::File| {
        let path = folder.join(&file.name);
        fs::write(&path, file.bytes).expect("the file is written");
        path
    };
    let paths: Vec<PathBuf> = month::files().expect("the month is told").into_iter().map(write).collect();
    let order = twice(&paths, seed);
    let mut told = String::new();
    for some in order.chunks(9) {
        let words: Vec<&str> = some.iter().filter_map(|path| path.to_str()).collect();
        told.push_str(&wrong(&run("take-in", Path::new(store), &words)));
    }
    assert!(
        told.contains("altered J. Reed 2026-05-18.html: entry 8: record 0303030303030303-8 was not taken: altered")
    );
    assert!(told.lines().all(|line| line.contains("altered J. Reed")), "{told}");
    let columns = fs::read_to_string(given("columns.txt")).expect("the columns");
    said(&run("columns", Path::new(store), &["ours", columns.trim_end()]), 0);
    let (prices, file) = (given("prices.json"), folder.join("lines.csv"));
    let [prices, table] = [&prices, &file].map(|path| path.to_str().expect("a plain path"));
    let words = ["--prices", prices, "--export", table, "--columns", "ours"];
    let told = said(&run("bill", Path::new(store), &words), 0);
    assert!(told.starts_with("1 open job is left out\nExport 1 holds 20 lines"), "{told}");
    let [found, expected] = [&file, &given("lines.csv")].map(|path| fs::read(path).expect("a table"));
    assert_eq!(String::from_utf8_lossy(&found), String::from_utf8_lossy(&expected), "seed {seed}");
    assert_eq!(found, expected);
    assert!(said(&run("bill", Path::new(store), &words), 0).contains("Nothing to export"));
}

#[test]
fn from_a_file() {
    for seed in 0..4 {
        let folder = tempfile::tempdir().expect("a folder");
        let store = folder.path().join("yard.quay");
        gives_the_hand_worked_table(store.to_str().expect("a plain path"), seed, folder.path());
    }
}

#[test]
#[ignore = "needs PostgreSQL: cargo xtask test --only server"]
fn from_a_server() {
    let cluster = Cluster::start();
    for seed in 4..6 {
        let folder = tempfile::tempdir().expect("a folder");
        gives_the_hand_worked_table(&cluster.database(&format!("yard_{seed}")), seed, folder.path());
    }
}
