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

// Where output goes, piece by piece: standard output, or a file if `path` is not empty. A file is
// written beside its place and renamed at the end, so that a failure leaves no half-written one. A
// reader that closes the pipe early has what it wanted: no error. Throws OutputError.
class OutputFile {
 public:
  explicit OutputFile(const std::string& path);
  ~OutputFile();  // without Finish(), a file is not there
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  void Write(const std::string& text);
  bool wanted() const { return wanted_; }  // whether anybody still reads
  void Finish();

 private:
  std::string path_, temporary_;  // empty: written in place
  int file_ = -1;
  bool wanted_ = true;
};

// All of it at once.
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
