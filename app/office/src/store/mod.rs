//! Where the command keeps: one SQLite file, or a server.
//!
//! What keeping must promise stands in [`quaywright_desk::store`]; both places are held
//! against the same contract.

mod server;
mod sqlite;

#[cfg(test)]
mod tests;

use std::path::Path;

use quaywright_desk::store::{Store, StoreError};

/// Whether a store is made where there is none.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Make {
    /// It is.
    IfMissing,
    /// It has to be there.
    Never,
}

/// Opens the store at a place: an address that begins with `postgres://`, else a file.
pub(crate) fn open(place: &str, make: Make) -> Result<Box<dyn Store>, StoreError> {
    let is_server = ["postgres://", "postgresql://"].iter().any(|scheme| place.starts_with(scheme));
    Ok(match (is_server, make) {
        (true, Make::IfMissing) => Box::new(server::Server::open(place)?),
        (true, Make::Never) => Box::new(server::Server::there(place)?),
        (false, Make::IfMissing) => Box::new(sqlite::Sqlite::open(Path::new(place))?),
        (false, Make::Never) => Box::new(sqlite::Sqlite::there(Path::new(place))?),
    })
}

/// Returns a place as it can be told: the address of a server without its password.
pub(crate) fn told(place: &str) -> String {
    let hidden = || {
        let (scheme, rest) = place.split_once("://")?;
        let (user, server) = rest.rsplit_once('@')?;
        Some(format!("{scheme}://{}@{server}", user.split(':').next()?))
    };
    hidden().unwrap_or_else(|| place.to_owned())
}
