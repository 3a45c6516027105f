//! The places of the command held against the contract of all stores.

use quaywright_core::id::{DeviceId, EventId};
use quaywright_desk::store::contract::{contract, file, lines};
use quaywright_desk::store::{Store, StoreError};

use super::server::Server;
use super::sqlite::Sqlite;
use super::told;
use cluster::Cluster;

#[path = "../../tests/cluster/mod.rs"]
pub(super) mod cluster;

fn id(device: u8, seq: u64) -> EventId {
    EventId { device: DeviceId::new([device; 8]), seq }
}

#[test]
fn sqlite_keeps_the_contract_and_finds_it_all_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.quay");
    contract(&mut Sqlite::open(&path).unwrap());
    let mut again = Sqlite::open(&path).unwrap();
    assert_eq!(lines(&mut again).len(), 5);
    assert_eq!(again.sent().unwrap().len(), 3);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "one file, when nothing runs");
}

#[test]
fn a_store_by_a_newer_program_and_other_files_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let newer = folder.path().join("newer.quay");
    drop(Sqlite::open(&newer).unwrap());
    rusqlite::Connection::open(&newer).unwrap().pragma_update(None, "user_version", 3).unwrap();
    assert!(matches!(Sqlite::open(&newer), Err(StoreError::Newer(3))));
    let foreign = folder.path().join("foreign.quay");
    let words = "these are the accounts of a yard, and no store at all: ".repeat(40);
    std::fs::write(&foreign, &words).unwrap();
    assert!(matches!(Sqlite::open(&foreign), Err(StoreError::Foreign)));
    assert_eq!(std::fs::read_to_string(&foreign).unwrap(), words);
    let other = folder.path().join("other.db");
    rusqlite::Connection::open(&other).unwrap().execute_batch("CREATE TABLE accounts (name TEXT)").unwrap();
    assert!(matches!(Sqlite::open(&other), Err(StoreError::Foreign)));
}

#[test]
fn a_store_of_the_first_form_gets_what_it_lacks() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("first.quay");
    Sqlite::open(&path).unwrap().take_in(&[file("first", &[(2, 1, "c"), (1, 1, "a"), (1, 2, "b")])]).unwrap();
    let first = rusqlite::Connection::open(&path).unwrap();
    first.execute_batch("DROP TABLE heard; DROP TABLE derived; PRAGMA user_version = 1;").unwrap();
    drop(first);
    let mut store = Sqlite::open(&path).unwrap();
    let heard: Vec<_> = store.heard().unwrap().into_iter().collect();
    assert_eq!(heard, [(id(1, 1).device, 2), (id(2, 1).device, 1)]);
    assert_eq!((store.devices().unwrap().len(), store.derived("hours").unwrap()), (2, None));
}

#[test]
#[ignore = "needs PostgreSQL: cargo xtask test --only server"]
fn a_server_keeps_the_contract_and_finds_it_all_again() {
    let cluster = Cluster::start();
    let address = cluster.database("shop");
    assert!(matches!(Server::there(&address), Err(StoreError::Missing)));
    contract(&mut Server::open(&address).unwrap());
    let mut again = Server::there(&address).unwrap();
    assert_eq!(lines(&mut again).len(), 5);
    assert_eq!(again.sent().unwrap().len(), 3);
    let mut client = postgres::Client::connect(&address, postgres::NoTls).unwrap();
    client.execute("INSERT INTO quay_form (version) VALUES (2)", &[]).unwrap();
    assert!(matches!(Server::open(&address), Err(StoreError::Newer(2))));
}

#[test]
fn a_place_is_told_without_its_password() {
    assert_eq!(told("postgres://desk:s3@cret@yard/shop"), "postgres://desk@yard/shop");
    for plain in ["postgres://yard/shop", "shop.quay", "postgres://desk@yard/shop"] {
        assert_eq!(told(plain), plain);
    }
}
