//! Ups and downs of one line: its turning points, and how far each stands out.

/// A highest or lowest place between two others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turn {
    pub(super) row: usize,
    pub(super) value: f32,
    pub(super) peak: bool,
}

/// All turning points, alternating, the ends of the line among them.
pub(super) fn turns(line: &[f32]) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    let mut rising: Option<bool> = None;
    let mut last: Option<(usize, f32)> = None;
    for (row, value) in line
        .iter()
        .copied()
        .enumerate()
        .filter(|(_, v)| v.is_finite())
    {
        if let Some((at, before)) = last
            && (value - before).abs() > 0.0
        {
            let up = value > before;
            if rising != Some(up) {
                out.push(Turn {
                    row: at,
                    value: before,
                    peak: !up,
                });
            }
            rising = Some(up);
        }
        last = Some((row, value));
    }
    if let (Some((row, value)), Some(up)) = (last, rising) {
        out.push(Turn {
            row,
            value,
            peak: up,
        });
    }
    out
}

/// A pair of turns that stood out too little, and by how much.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gone {
    pub(super) by: f32,
    pub(super) first: Turn,
    pub(super) second: Turn,
}

/// Takes away the pairs that stand out least until all stand out by `least`.
pub(super) fn thin(turns: &mut Vec<Turn>, least: f32) -> Vec<Gone> {
    let mut gone = Vec::new();
    loop {
        let pairs = turns.iter().zip(turns.iter().skip(1)).enumerate();
        let smallest = pairs
            .map(|(at, (a, b))| {
                (
                    at,
                    Gone {
                        by: (a.value - b.value).abs(),
                        first: *a,
                        second: *b,
                    },
                )
            })
            .min_by(|a, b| a.1.by.total_cmp(&b.1.by));
        match smallest {
            Some((at, pair)) if pair.by < least => {
                if at == 0 {
                    turns.remove(0);
                } else if at + 2 == turns.len() {
                    turns.pop();
                } else {
                    turns.drain(at..at + 2);
                }
                gone.push(pair);
            }
            _ => return gone,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_wiggles_go_and_the_rest_alternates() {
        let line = [0.0, 10.0, 9.0, 11.0, 1.0, 12.0, 0.0];
        let mut found = turns(&line);
        let gone = thin(&mut found, 5.0);
        let rows: Vec<usize> = found.iter().map(|turn| turn.row).collect();
        assert_eq!(rows, [0, 3, 4, 5, 6]);
        assert_eq!(gone.len(), 1);
        assert!(found.windows(2).all(|pair| pair[0].peak != pair[1].peak));
    }

    #[test]
    fn a_flat_line_has_no_turns() {
        assert!(turns(&[3.0; 9]).is_empty());
    }
}
