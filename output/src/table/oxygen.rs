//! Oxygen beside temperature, where a stock is stated.

use super::WIDTH;
use crate::records::ScenarioBlock;
use crate::wording::{oxygen_of_block, wrapped};

/// "Oxygen, as the stock is stated": a line per sentence; nothing where no stock is stated.
pub(super) fn oxygen(block: &ScenarioBlock) -> String {
    let told = oxygen_of_block(block);
    if told.is_empty() {
        return String::new();
    }
    let lines: String = told.iter().map(|line| wrapped("- ", line, WIDTH)).collect();
    format!("\nOxygen, with the stock as stated\n{lines}")
}
