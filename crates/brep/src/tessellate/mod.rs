//! From a shell to a mesh: edges first, so that neighbours share their vertices; then face by face.

mod shell;
mod steps;
mod triangles;
