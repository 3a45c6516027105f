//! Processes that run a part of the time, as on a slower machine.
//!
//! They are stopped and let go on in turn. Rule: a turn is short, for what waits for an answer from
//! outside waits for the end of a turn as well, which no slower machine asks of it; and each turn is
//! measured, what it was too long or too short is made good by the next.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{JoinHandle, sleep, spawn};
use std::time::{Duration, Instant};

use rustix::process::{Pid, Signal, kill_process};

/// How long they run at a time.
const RUNS: Duration = Duration::from_millis(2);

/// Processes that run a part of the time until this is dropped.
pub struct Slowed {
    is_over: Arc<AtomicBool>,
    turning: Option<JoinHandle<()>>,
}

impl Slowed {
    /// Lets these processes run a `times`th part of the time.
    pub fn begin(pids: &[u32], times: u32) -> Self {
        let pids = pids.iter().filter_map(|&pid| Pid::from_raw(pid.try_into().ok()?)).collect();
        let is_over = Arc::new(AtomicBool::new(false));
        let over = Arc::clone(&is_over);
        Self { is_over, turning: Some(spawn(move || turn(pids, times, &over))) }
    }
}

impl Drop for Slowed {
    fn drop(&mut self) {
        self.is_over.store(true, Ordering::Relaxed);
        if let Some(turning) = self.turning.take() {
            let _ = turning.join();
        }
    }
}

fn turn(pids: Vec<Pid>, times: u32, is_over: &AtomicBool) {
    let tell = |signal| {
        for &pid in &pids {
            // Who is gone need neither stop nor go on.
            let _ = kill_process(pid, signal);
        }
    };
    let mut stands = 0.0;
    while !is_over.load(Ordering::Relaxed) {
        let runs = Instant::now();
        sleep(RUNS);
        tell(Signal::STOP);
        let stopped = Instant::now();
        stands += (stopped - runs).as_secs_f64() * f64::from(times.saturating_sub(1));
        sleep(Duration::from_secs_f64(f64::max(stands, 0.0)));
        tell(Signal::CONT);
        stands -= stopped.elapsed().as_secs_f64();
    }
}
