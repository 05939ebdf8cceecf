//! Bending of a free bar of varying section: the nodes of its first mode.

/// A slice of the bar between two stations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slice {
    /// Length, mm.
    pub length: f64,
    /// Second moment of area for bending through the thickness, mm⁴.
    pub stiffness: f64,
    /// Mass per length, g/mm.
    pub mass: f64,
}

/// Half bandwidth of the assembled matrices: two neighbouring stations of two unknowns each.
const BAND: usize = 4;

/// Where the first bending mode of a free-free bar stands still: distances from the start of the first slice,
/// mm. `loads` are point masses (distance from the start, mm; mass, g). Euler–Bernoulli beam of cubic elements
/// with consistent masses (Przemieniecki, Theory of Matrix Structural Analysis, ch. 11, from memory); inverse
/// iteration away from the two rigid motions. The modulus of elasticity, the same everywhere, cancels.
/// `None` without slices or when the mode has no two nodes (a load far heavier than the bar).
pub fn nodes(slices: &[Slice], loads: &[(f64, f64)]) -> Option<[f64; 2]> {
    let bar = Bar::assemble(slices, loads)?;
    let mode = bar.first_mode()?;
    let zeros = bar.zeros(&mode);
    (zeros.len() >= 2).then(|| [zeros[0], zeros[zeros.len() - 1]])
}

/// Symmetric banded matrix: `rows[i][k]` stands at (i, i + k).
type Banded = Vec<[f64; BAND]>;

struct Bar {
    at: Vec<f64>,
    stiffness: Banded,
    mass: Banded,
}

impl Bar {
    /// The finite elements of all slices (Euler and Bernoulli's beam, consistent mass matrix) with point loads;
    /// `None` without a length.
    fn assemble(slices: &[Slice], loads: &[(f64, f64)]) -> Option<Bar> {
        let mut at = vec![0.0];
        for s in slices {
            at.push(at[at.len() - 1] + s.length);
        }
        let whole = at[at.len() - 1];
        if slices.is_empty() || whole <= 0.0 || !whole.is_finite() {
            return None;
        }
        let size = 2 * at.len();
        let mut bar = Bar { at, stiffness: vec![[0.0; BAND]; size], mass: vec![[0.0; BAND]; size] };
        for (i, s) in slices.iter().enumerate() {
            let l = s.length;
            let k = s.stiffness / l.powi(3);
            let bend = [
                [12.0, 6.0 * l, -12.0, 6.0 * l],
                [6.0 * l, 4.0 * l * l, -6.0 * l, 2.0 * l * l],
                [-12.0, -6.0 * l, 12.0, -6.0 * l],
                [6.0 * l, 2.0 * l * l, -6.0 * l, 4.0 * l * l],
            ];
            let m = s.mass * l / 420.0;
            let carry = [
                [156.0, 22.0 * l, 54.0, -13.0 * l],
                [22.0 * l, 4.0 * l * l, 13.0 * l, -3.0 * l * l],
                [54.0, 13.0 * l, 156.0, -22.0 * l],
                [-13.0 * l, -3.0 * l * l, -22.0 * l, 4.0 * l * l],
            ];
            add(&mut bar.stiffness, 2 * i, |a, b| k * bend[a][b]);
            add(&mut bar.mass, 2 * i, |a, b| m * carry[a][b]);
        }
        for &(x, m) in loads {
            let x = x.clamp(0.0, whole);
            let i = bar.at.partition_point(|&a| a <= x).clamp(1, slices.len()) - 1;
            let l = slices[i].length;
            let n = shape((x - bar.at[i]) / l, l);
            add(&mut bar.mass, 2 * i, |a, b| m * n[a] * n[b]);
        }
        Some(bar)
    }

    /// The first bending mode of the free bar by inverse iteration, kept clear of its two rigid motions; `None`
    /// where it does not settle.
    fn first_mode(&self) -> Option<Vec<f64>> {
        let n = self.mass.len();
        let whole = self.at[self.at.len() - 1];
        // The shift makes the free bar's stiffness definite; a tenth of a uniform bar's first eigenvalue
        // (4.730⁴ ≈ 500 EI/(m L⁴)) keeps the iteration quick.
        let (k, m): (f64, f64) = (
            (0..n / 2 - 1).map(|i| self.stiffness[2 * i + 1][0]).sum::<f64>() / n as f64,
            (0..n / 2).map(|i| self.mass[2 * i][0]).sum::<f64>() / whole,
        );
        let length = whole / (n / 2) as f64;
        let shift = 50.0 * (k * length / 4.0) / (m * whole.powi(4));
        let factor = cholesky(&self.stiffness, &self.mass, shift)?;
        let rigid = [
            (0..n).map(|i| if i % 2 == 0 { 1.0 } else { 0.0 }).collect::<Vec<f64>>(),
            (0..n).map(|i| if i % 2 == 0 { self.at[i / 2] - 0.5 * whole } else { 1.0 }).collect(),
        ];
        let mut basis: Vec<Vec<f64>> = Vec::new();
        for r in rigid {
            let free = self.without(r, &basis);
            basis.push(self.unit(free));
        }
        let start = (0..n)
            .map(|i| {
                let t = self.at[i / 2] / whole - 0.5;
                if i % 2 == 0 { t * t } else { 2.0 * t / whole }
            })
            .collect();
        let mut mode = self.unit(self.without(start, &basis));
        // Each pass shrinks the second mode by (500 + 50)/(3804 + 50) ≈ 1/7: 24 passes reach 1e-20.
        for _ in 0..24 {
            let next = solve(&factor, self.times(&mode));
            mode = self.unit(self.without(next, &basis));
        }
        mode.iter().all(|v| v.is_finite()).then_some(mode)
    }

    /// The mass matrix times a vector.
    fn times(&self, v: &[f64]) -> Vec<f64> {
        let n = v.len();
        let mut out = vec![0.0; n];
        for i in 0..n {
            out[i] += self.mass[i][0] * v[i];
            for k in 1..BAND.min(n - i) {
                out[i] += self.mass[i][k] * v[i + k];
                out[i + k] += self.mass[i][k] * v[i];
            }
        }
        out
    }

    fn product(&self, a: &[f64], b: &[f64]) -> f64 {
        self.times(a).iter().zip(b).map(|(x, y)| x * y).sum()
    }

    fn without(&self, mut v: Vec<f64>, basis: &[Vec<f64>]) -> Vec<f64> {
        for b in basis {
            let part = self.product(b, &v);
            v.iter_mut().zip(b).for_each(|(x, y)| *x -= part * y);
        }
        v
    }

    fn unit(&self, v: Vec<f64>) -> Vec<f64> {
        let size = self.product(&v, &v).sqrt();
        v.into_iter().map(|x| x / size).collect()
    }

    /// Where a mode crosses zero, from the bar's start.
    fn zeros(&self, mode: &[f64]) -> Vec<f64> {
        (1..self.at.len())
            .filter_map(|i| {
                let l = self.at[i] - self.at[i - 1];
                let w = |t: f64| {
                    shape(t, l).iter().enumerate().map(|(k, n)| n * mode[2 * (i - 1) + k]).sum::<f64>()
                };
                let (a, b) = (w(0.0), w(1.0));
                if (a > 0.0) == (b > 0.0) {
                    return None;
                }
                let sign = if b > 0.0 { 1.0 } else { -1.0 };
                Some(self.at[i - 1] + l * brep::numeric::root::zero(0.0, 1.0, |t| sign * w(t)))
            })
            .collect()
    }
}

/// Cubic Hermite shape functions at share t of an element of length l.
fn shape(t: f64, l: f64) -> [f64; 4] {
    let s = 1.0 - t;
    [s * s * (1.0 + 2.0 * t), l * t * s * s, t * t * (3.0 - 2.0 * t), -l * t * t * s]
}

fn add(matrix: &mut Banded, first: usize, value: impl Fn(usize, usize) -> f64) {
    for a in 0..4 {
        for b in a..4 {
            matrix[first + a][b - a] += value(a, b);
        }
    }
}

/// LDLᵀ of K + shift·M: diagonal first, then the unit factor's band.
fn cholesky(k: &Banded, m: &Banded, shift: f64) -> Option<Banded> {
    let n = k.len();
    let mut f: Banded = (0..n).map(|i| std::array::from_fn(|j| k[i][j] + shift * m[i][j])).collect();
    for i in 0..n {
        let pivot = f[i][0];
        if pivot <= 0.0 || !pivot.is_finite() {
            return None;
        }
        let row = f[i];
        for a in 1..BAND.min(n - i) {
            for b in a..BAND.min(n - i) {
                f[i + a][b - a] -= row[a] * row[b] / pivot;
            }
        }
        for entry in &mut f[i][1..] {
            *entry /= pivot;
        }
    }
    Some(f)
}

/// Solves a factored system by forward and back substitution.
fn solve(f: &Banded, mut v: Vec<f64>) -> Vec<f64> {
    let n = v.len();
    for i in 0..n {
        for k in 1..BAND.min(n - i) {
            v[i + k] -= f[i][k] * v[i];
        }
    }
    for i in 0..n {
        v[i] /= f[i][0];
    }
    for i in (0..n).rev() {
        for k in 1..BAND.min(n - i) {
            v[i] -= f[i][k] * v[i + k];
        }
    }
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uniform(n: usize, length: f64) -> Vec<Slice> {
        vec![Slice { length: length / n as f64, stiffness: 83.0, mass: 0.8 }; n]
    }

    #[test]
    fn a_uniform_bar_stands_still_where_thomson_says() {
        // Thomson, Theory of Vibration with Applications, appendix D: 0.22416 L and 0.77584 L.
        let [a, b] = nodes(&uniform(60, 500.0), &[]).unwrap();
        assert!((a / 500.0 - 0.224_16).abs() < 1e-5 && (b / 500.0 - 0.775_84).abs() < 1e-5, "{a} {b}");
    }

    #[test]
    fn a_heavy_load_draws_its_node_near() {
        let bare = nodes(&uniform(60, 500.0), &[]).unwrap();
        let loaded = nodes(&uniform(60, 500.0), &[(50.0, 400.0)]).unwrap();
        assert!((loaded[0] - 50.0).abs() < (bare[0] - 50.0).abs());
    }
}
