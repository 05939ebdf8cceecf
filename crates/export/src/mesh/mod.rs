//! Triangle meshes as STL, 3MF and binary glTF.

pub(crate) mod glb;
pub(crate) mod gltf;
pub(crate) mod object;
pub(crate) mod single;
pub(crate) mod stl;
pub(crate) mod three_mf;
