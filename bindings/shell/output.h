#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "handwheel/table.h"

namespace handwheel::shell {

class OutputError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

// Writes to standard output, or to a file if `path` is not empty. A file is written beside its
// place and renamed, so that a failure leaves no half-written one. A reader that closes the pipe
// early has what it wanted: no error. Throws OutputError.
void WriteOutput(const std::string& text, const std::string& path);

// Rows of cells in columns: texts to the left, numbers to the right.
std::string AsText(const ResultTable& table);

// As RFC 4180 says, with lines ended by \n; an undetermined number is empty.
std::string AsCsv(const ResultTable& table);

// Shortest digits that read back as the same double; empty for NaN.
std::string Digits(double value);

// A value of a setting as a reader expects it.
std::string Shown(const Value& value);

// "1 pipe", "3 pipes"
std::string Count(std::size_t n, const std::string& what);

}  // namespace handwheel::shell
