//! Small square matrices in fixed order of arithmetic.
//!
//! Written by hand because the kernels of general libraries are chosen by processor above a few rows, and results must be the
//! same bits on every machine (see `docs/decisions.md`). Columns are padded to a multiple of four so that the compiler can
//! use vector registers without changing the order of any sum.

/// Most nodes in one water system. A choice: matrices of a fixed size.
pub const MAX_NODES: usize = 16;

/// One value per node; entries beyond the network's size are 0.
pub type Vector = [f64; MAX_NODES];

/// A square matrix, stored by padded columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    size: usize,
    stride: usize,
    columns: Vec<f64>,
}

impl Matrix {
    /// The zero matrix of `size` rows, 1..=[`MAX_NODES`].
    #[must_use]
    pub fn zero(size: usize) -> Self {
        let stride = size.div_ceil(4) * 4;
        Self {
            size,
            stride,
            columns: vec![0.0; size * stride],
        }
    }

    /// `value` times the identity.
    #[must_use]
    pub fn scaled_identity(size: usize, value: f64) -> Self {
        let mut matrix = Self::zero(size);
        for i in 0..size {
            *matrix.at_mut(i, i) = value;
        }
        matrix
    }

    /// Number of rows.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// The entry of a row and column.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        self.columns[column * self.stride + row]
    }

    /// The entry of a row and column, to change.
    pub fn at_mut(&mut self, row: usize, column: usize) -> &mut f64 {
        &mut self.columns[column * self.stride + row]
    }

    /// `self · other`.
    #[must_use]
    pub fn times(&self, other: &Self) -> Self {
        let mut product = Self::zero(self.size);
        for column in 0..self.size {
            for k in 0..self.size {
                let factor = other.at(k, column);
                for row in 0..self.size {
                    *product.at_mut(row, column) += self.at(row, k) * factor;
                }
            }
        }
        product
    }

    /// Adds `factor · other`.
    pub fn add_scaled(&mut self, factor: f64, other: &Self) {
        for (mine, theirs) in self.columns.iter_mut().zip(&other.columns) {
            *mine += factor * theirs;
        }
    }

    /// The largest sum of absolute values of a row.
    #[must_use]
    pub fn row_sum_norm(&self) -> f64 {
        (0..self.size)
            .map(|row| {
                (0..self.size)
                    .map(|column| self.at(row, column).abs())
                    .sum::<f64>()
            })
            .fold(0.0, f64::max)
    }

    /// Rows with the padding: 4, 8, 12 or 16.
    #[must_use]
    pub fn stride(&self) -> usize {
        self.stride
    }

    /// `result += self · vector`.
    #[inline]
    pub fn multiply_add(&self, vector: &Vector, result: &mut Vector) {
        match self.stride {
            4 => self.multiply_add_strided::<4>(vector, result),
            8 => self.multiply_add_strided::<8>(vector, result),
            12 => self.multiply_add_strided::<12>(vector, result),
            _ => self.multiply_add_strided::<16>(vector, result),
        }
    }

    #[inline]
    fn multiply_add_strided<const STRIDE: usize>(&self, vector: &Vector, result: &mut Vector) {
        if let Some(sums) = result.first_chunk_mut::<STRIDE>() {
            let mut total = *sums;
            let (columns, _) = self.columns.as_chunks::<STRIDE>();
            // Most nodes have no source.
            for (column, factor) in columns.iter().zip(vector).filter(|(_, factor)| **factor != 0.0) {
                for row in 0..STRIDE {
                    total[row] += column[row] * factor;
                }
            }
            *sums = total;
        }
    }

    /// `result += self · vector` where hardly an entry of the vector is zero.
    #[inline]
    pub fn multiply_add_all(&self, vector: &Vector, result: &mut Vector) {
        match self.stride {
            4 => self.add_product_to_first::<4>(vector, result),
            8 => self.add_product_to_first::<8>(vector, result),
            12 => self.add_product_to_first::<12>(vector, result),
            _ => self.add_product_to_first::<16>(vector, result),
        }
    }

    #[inline]
    fn add_product_to_first<const STRIDE: usize>(&self, vector: &Vector, result: &mut Vector) {
        if let Some(sums) = result.first_chunk_mut::<STRIDE>() {
            self.add_product(vector, sums);
        }
    }

    /// `result += self · vector` where the stride is known: every loop has a fixed length, so the sums stay in registers.
    #[inline(always)]
    pub(super) fn add_product<const STRIDE: usize>(&self, vector: &[f64], result: &mut [f64; STRIDE]) {
        let mut total = *result;
        let (columns, _) = self.columns.as_chunks::<STRIDE>();
        for (column, factor) in columns.iter().zip(vector) {
            for row in 0..STRIDE {
                total[row] += column[row] * factor;
            }
        }
        *result = total;
    }

    /// Makes every entry at least as large as the other's is in size.
    pub(super) fn raise_to_size_of(&mut self, other: &Self) {
        for (mine, theirs) in self.columns.iter_mut().zip(&other.columns) {
            *mine = mine.max(theirs.abs());
        }
    }
}
