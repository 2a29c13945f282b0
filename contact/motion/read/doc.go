// Package read reads recordings of cameras from files: C3D, the public format of
// biomechanics, and tables of comma- or tab-separated values. What it returns is a
// [motion.Recording], in the axes of the file.
//
// # C3D
//
// [C3D] reads the points of a file of any of the three kinds of processor, as integers or
// as floating-point numbers, as the C3D User Guide (c3d.org) describes them. Labels become
// markers by a mapping ([File.Recording]). A file that holds fewer frames than it says is
// read as far as it goes, and [File.Stated] keeps what it said.
//
// # Tables
//
// [Table] reads a table whose first row names its columns: time_s, and three a marker, such
// as knee_left_x_mm. Every column says its unit, or the caller does.
//
// # Limits
//
// What a file says of its size is believed only as far as there are bytes: a C3D file takes
// at most 8 times its size, a table 20 times, and 1 MiB. Each call returns within 5 ms of the
// end of its context.
//
// # Errors
//
// Faults are [*contact.Error]. They name the frame and the marker and the byte, or the line
// and the column. All faults of a file are reported together.
package read
