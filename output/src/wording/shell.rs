//! Arguments of commands that people copy.

/// An argument as a shell takes it.
#[must_use]
pub fn quoted(argument: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '/' | '-' | '_');
    if !argument.is_empty() && argument.chars().all(plain) {
        argument.to_owned()
    } else {
        format!("'{}'", argument.replace('\'', r"'\''"))
    }
}
