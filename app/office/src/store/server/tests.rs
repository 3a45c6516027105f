//! A change that others get in the way of is done again, and not for ever.

use std::cell::Cell;

use super::super::tests::cluster::Cluster;
use super::*;

const ADD: &str = "UPDATE quay_heard SET lines = lines + 1 WHERE device = 'boat'";

/// Changes a row in a transaction that has seen it, after another has changed it `often` times.
fn tried(server: &mut Server, address: &str, often: u32) -> (Result<(), StoreError>, u32) {
    let mut other = Client::connect(address, NoTls).unwrap();
    let (other, tries) = (std::cell::RefCell::new(&mut other), Cell::new(0));
    let done = server.change(|transaction| {
        transaction.query("SELECT lines FROM quay_heard", &[])?;
        if tries.get() < often {
            other.borrow_mut().execute(ADD, &[])?;
        }
        tries.set(tries.get() + 1);
        transaction.execute(ADD, &[]).map(drop)
    });
    (done, tries.get())
}

#[test]
#[ignore = "needs PostgreSQL: cargo xtask test --only server"]
fn a_change_that_others_got_in_the_way_of_is_done_again_and_not_for_ever() {
    let cluster = Cluster::start();
    let address = cluster.database("shop");
    let mut server = Server::open(&address).unwrap();
    server.client.batch_execute("INSERT INTO quay_heard VALUES ('boat', 0)").unwrap();
    let lines = |server: &mut Server| server.client.query_one("SELECT lines FROM quay_heard", &[]).unwrap().get(0);
    assert!(matches!(tried(&mut server, &address, 3), (Ok(()), 4)));
    let before: i64 = lines(&mut server);
    assert_eq!(before, 4, "three by the other, and ours once");
    assert!(matches!(tried(&mut server, &address, u32::MAX), (Err(StoreError::Busy), TRIES)));
    let after: i64 = lines(&mut server);
    assert_eq!(after, before + i64::from(TRIES), "nothing of ours");
}
