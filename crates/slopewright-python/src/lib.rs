//! The private native module of the Python package.
