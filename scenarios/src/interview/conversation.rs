//! The eight questions asked one after the other, of whoever types at one end and reads at the other.

use std::io::{BufRead, Error, Write};

use tepid_sim::quantity::System;

use super::{Answers, Topic};

/// The questions were not answered to the end.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ConversationError {
    /// Nothing more is typed.
    #[error("the answers ended before the questions; no scenario was made")]
    Ended,
    /// What is typed cannot be read.
    #[error("cannot read the answer: {0}")]
    Reading(#[source] Error),
    /// The questions cannot be shown.
    #[error("cannot show the question: {0}")]
    Writing(#[source] Error),
}

/// Shows the questions on `shown` and takes the answers from `typed`, a line each; what is not understood is asked again.
///
/// # Errors
/// [`ConversationError`].
pub fn conversation(typed: &mut impl BufRead, shown: &mut impl Write) -> Result<Answers, ConversationError> {
    let mut answers = Answers::sensible(System::Metric);
    tell(shown, "Eight questions; Enter takes what stands in brackets.\n")?;
    for (position, topic) in Topic::ALL.into_iter().enumerate() {
        tell(shown, &format!("\n{}. {}\n", position + 1, topic.question()))?;
        loop {
            tell(shown, &format!("   [{}] ", answers.shown(topic)))?;
            match answers.take(topic, &line(typed)?) {
                Ok(()) => break,
                Err(error) => tell(shown, &format!("   {error}\n"))?,
            }
        }
    }
    tell(shown, "\n")?;
    Ok(answers)
}

/// A line as it is typed; bytes that are no text become characters that no answer has, so they are asked again.
fn line(typed: &mut impl BufRead) -> Result<String, ConversationError> {
    let mut bytes = Vec::new();
    match typed.read_until(b'\n', &mut bytes) {
        Ok(0) => Err(ConversationError::Ended),
        Ok(_) => Ok(String::from_utf8_lossy(&bytes).into_owned()),
        Err(error) => Err(ConversationError::Reading(error)),
    }
}

fn tell(shown: &mut impl Write, text: &str) -> Result<(), ConversationError> {
    shown
        .write_all(text.as_bytes())
        .and_then(|()| shown.flush())
        .map_err(ConversationError::Writing)
}
