//! How closely a heat is worked out.

use super::carbon::CarbonLaw;

/// How closely to work a heat out. The default keeps the carbon of every cell within 0.005 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Care {
    /// Which diffusivity of carbon.
    pub law: CarbonLaw,
    /// Cells per reach of a heat, inside.
    pub cells: f64,
    /// The same at an open face.
    pub face_cells: f64,
    /// Steps from a fresh joint to the end of a heat.
    pub steps: f64,
    /// Solutions per stage of a step, one or two.
    pub passes: u32,
}

impl Default for Care {
    fn default() -> Self {
        Self {
            law: CarbonLaw::Agren,
            cells: 6.0,
            face_cells: 10.0,
            steps: 14.0,
            passes: 1,
        }
    }
}
