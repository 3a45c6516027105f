//! Bounded waiting: no storage may hold up a person for ever.
//!
//! A browser's storage can stay silent: its process died, or another page
//! holds it. So a call gets a limit; what passes is repeated on a new
//! connection, at most a few times; and the last error is told. Repeating is
//! safe because keeping the same thing twice is keeping it once.

use std::pin::pin;
use std::task::Poll;

use super::{Store, StoreError, Timer};
use crate::moment::Length;

/// How often a call is made before its error is told.
pub const TRIES: u32 = 3;

/// Returns what `call` returns, or [`StoreError::Silent`] after `limit`.
///
/// # Errors
/// The call's own, or [`StoreError::Silent`].
pub async fn within<T>(
    timer: &impl Timer,
    limit: Length,
    call: impl Future<Output = Result<T, StoreError>>,
) -> Result<T, StoreError> {
    let mut call = pin!(call);
    let mut alarm = pin!(timer.wait(limit));
    std::future::poll_fn(|context| {
        if let Poll::Ready(result) = call.as_mut().poll(context) {
            return Poll::Ready(result);
        }
        alarm.as_mut().poll(context).map(|()| Err(StoreError::Silent))
    })
    .await
}

/// Makes a call on `store`, each try within `limit`, with a new connection
/// before each repetition.
///
/// # Errors
/// The last try's.
pub async fn again<T, Call: Future<Output = Result<T, StoreError>>>(
    store: &impl Store,
    timer: &impl Timer,
    limit: Length,
    mut call: impl FnMut() -> Call,
) -> Result<T, StoreError> {
    let mut tries = 1;
    loop {
        match within(timer, limit, call()).await {
            Err(error) if error.is_passing() && tries < TRIES => tries += 1,
            end => return end,
        }
        // A connection that does not even close is left alone.
        let _ = within(timer, limit, async {
            store.reconnect().await;
            Ok(())
        })
        .await;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::memory::{MemoryStore, NoWait};
    use std::cell::Cell;

    const LIMIT: Length = Length::from_ms(10);

    fn tried(answers: &[Option<Result<u8, StoreError>>]) -> (Result<u8, StoreError>, usize) {
        let (store, calls) = (MemoryStore::default(), Cell::new(0));
        let call = || {
            let answer = answers[calls.get().min(answers.len() - 1)].clone();
            calls.set(calls.get() + 1);
            async move {
                match answer {
                    Some(answer) => answer,
                    None => std::future::pending().await,
                }
            }
        };
        let result = pollster::block_on(again(&store, &NoWait, LIMIT, call));
        (result, calls.get())
    }

    #[test]
    fn repeats_what_passes() {
        assert_eq!(tried(&[Some(Ok(1))]), (Ok(1), 1));
        assert_eq!(tried(&[Some(Err(StoreError::Lost)), Some(Ok(2))]), (Ok(2), 2));
        assert_eq!(tried(&[None, Some(Err(StoreError::Aborted)), Some(Ok(3))]), (Ok(3), 3));
    }

    #[test]
    fn ends_in_bounded_time() {
        assert_eq!(tried(&[None]), (Err(StoreError::Silent), 3));
        assert_eq!(tried(&[Some(Err(StoreError::Aborted))]), (Err(StoreError::Aborted), 3));
        assert_eq!(tried(&[Some(Err(StoreError::Full))]), (Err(StoreError::Full), 1));
    }
}
