//! What stands in for the page around its work: files in memory, and what was answered.
//!
//! The office's command is held to the same work, so its tests use this too.

use std::cell::RefCell;
use std::rc::Rc;

use quaywright_desk::store::journal::Medium;
use quaywright_desk::wire::Answer;
use quaywright_desk::work::Outlet;

/// A file in memory.
#[derive(Clone, Default)]
pub(crate) struct Disk(pub(crate) Rc<RefCell<Vec<u8>>>);

impl Medium for Disk {
    fn length(&mut self) -> Result<u64, String> {
        Ok(self.0.borrow().len() as u64)
    }

    fn read(&mut self, at: u64, length: usize) -> Result<Vec<u8>, String> {
        let bytes = self.0.borrow();
        Ok(bytes[at as usize..bytes.len().min(at as usize + length)].to_vec())
    }

    fn write(&mut self, at: u64, bytes: &[u8]) -> Result<(), String> {
        let mut file = self.0.borrow_mut();
        file.truncate(at as usize);
        file.extend_from_slice(bytes);
        Ok(())
    }
}

/// What was answered.
#[derive(Default)]
pub(crate) struct Heard(pub(crate) Vec<(Answer, Vec<u8>)>);

impl Outlet for Heard {
    fn answer(&mut self, answer: Answer, beside: &[u8]) {
        self.0.push((answer, beside.to_vec()));
    }
}
