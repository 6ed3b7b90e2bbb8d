//! The house rules, checked: which way crates depend, how long files get, what a physics file's page holds, what a constant says of itself.

mod arrows;
mod constants;
mod files;
mod physics_pages;
