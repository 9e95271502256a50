//! Promise: the program in a file is the one that is solved; points of the whole-lot program are plans; and an answer read back is the plan it
//! says.

mod common;
mod ran;

#[path = "program_as_file/answers.rs"]
mod answers;
#[path = "program_as_file/file.rs"]
mod file;
#[path = "program_as_file/nurseries.rs"]
mod nurseries;
#[path = "program_as_file/points.rs"]
mod points;
#[path = "program_as_file/rest.rs"]
mod rest;
