//! The module for browsers that is kept in the repository: current, without imports, and the same bits as here.

mod current;
mod host;
mod same_bits;
