//! The keys of each kind as a move. Amounts that a plan leaves out come from the shop.

use super::fill::fill;
use super::names::Steels;
use super::section::Section;
use crate::billet::Move;
use crate::plan::keys::Form;

/// Reads the move of a step. What could not be read leaves a usual value behind and an error in the
/// document; `None` only when a key that must be there is not.
pub(super) fn read(section: &Section<'_>, steels: &Steels, form: &Form) -> Option<Move> {
    let mut made = form.blank.clone();
    let whole = fill(section, steels, form.fields, &mut made);
    if let Some([what, key, remedy]) = form.one_of {
        let mut wanted = form.fields.iter().filter(|field| form.counts(field));
        if wanted.all(|field| section.get(field.name).is_none() && !section.mistyped(field.name)) {
            section.lacks(key, what.to_owned(), remedy);
        }
    }
    whole.map(|()| made)
}
