//! What a cut, a face or a blade would show, by inverse maps. No terminal types.

mod dual;
mod map;
mod noise;
