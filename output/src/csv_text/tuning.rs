//! A search of settings as CSV: one row per setting that was tried.

use super::{CsvError, cell, finished};
use crate::records::{Tuning, TuningOrigin};

/// One row per setting: its values, its merits, and how it stands.
///
/// # Errors
/// [`CsvError`] if the text cannot be written.
pub fn tuning(record: &Tuning) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let parameters = record.parameters.iter().map(|one| one.parameter.as_str());
    writer.write_record(parameters.chain([
        "origin",
        "outside_band_h_per_day",
        "swing_k",
        "closings_per_day",
        "stuck_dose",
        "energy_kwh_per_day",
        "steps",
        "pareto",
        "safe",
        "recommended",
    ]))?;
    for (at, setting) in record.settings.iter().enumerate() {
        let merits = &setting.merits;
        let tried = record.safety.iter().find(|tried| tried.setting == at);
        writer.write_record(setting.values.iter().cloned().chain([
            origin_word(setting.origin).to_owned(),
            cell(Some(merits.outside_band_h_per_day)),
            cell(Some(merits.swing_k)),
            cell(merits.closings_per_day),
            cell(merits.stuck_dose),
            cell(Some(merits.energy_kwh_per_day)),
            cell(Some(merits.steps)),
            setting.pareto.to_string(),
            tried.map_or_else(String::new, |tried| tried.past.is_empty().to_string()),
            (record.recommended == Some(at)).to_string(),
        ]))?;
    }
    finished(writer)
}

fn origin_word(origin: TuningOrigin) -> &'static str {
    match origin {
        TuningOrigin::Default => "default",
        TuningOrigin::Formula => "formula",
        TuningOrigin::Sample => "sample",
        TuningOrigin::Refined => "refined",
    }
}
