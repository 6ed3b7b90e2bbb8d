//! Determinism: one clause, one test. Same inputs give the same bits, whatever else changes.

mod support;

mod branches;
mod faults;
mod noise;
mod odds;
mod rest;
mod same_run_twice;
mod thread_count;
mod uncertainty;
