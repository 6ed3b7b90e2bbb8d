//! The house rules, checked: which way crates depend, how long files get, what a physics file's page holds.

mod arrows;
mod files;
mod physics_pages;
