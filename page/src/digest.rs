//! A digest of numbers by their bits (FNV-1a, 64 bit): two machines that agree on it computed the same.

const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0000_0100_0000_01b3;

/// The digest of all numbers in their order.
pub(crate) fn digest<'a>(numbers: impl IntoIterator<Item = &'a f64>) -> u64 {
    let mut hash = OFFSET;
    for number in numbers {
        // The bits of "not a number" are the machine's own: any stands for absent.
        let bits = if number.is_nan() {
            u64::MAX
        } else {
            number.to_bits()
        };
        for byte in bits.to_le_bytes() {
            hash = (hash ^ u64::from(byte)).wrapping_mul(PRIME);
        }
    }
    hash
}
