#include "output.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <utility>

#include "csv.h"
#include "text/layout.h"

namespace handwheel::shell {
namespace {

OutputError Failure(const std::string& what) {
  return OutputError(what + ": " + std::strerror(errno));
}

// False with errno set.
bool WriteAll(int file, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t n = ::write(file, text.data() + done, text.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return false;
    done += static_cast<std::size_t>(n);
  }
  return true;
}

// A file that renaming cannot stand in for, such as /dev/null or a pipe.
bool IsSpecial(const std::string& path) {
  std::error_code ignored;
  const auto status = std::filesystem::status(path, ignored);
  return std::filesystem::exists(status) && !std::filesystem::is_regular_file(status);
}

// The permissions a new file gets.
mode_t NewFileMode() {
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return 0666 & ~mask;
}

mode_t ModeFor(const std::string& path) {
  struct stat existing {};
  return ::stat(path.c_str(), &existing) == 0 ? existing.st_mode & 07777 : NewFileMode();
}

// The file behind a symbolic link, which would otherwise be replaced itself.
std::string Resolved(const std::string& path) {
  std::error_code error;
  const auto resolved = std::filesystem::weakly_canonical(path, error);
  return error ? path : resolved.string();
}

// --- Tables ---

std::string Cell(const Column& column, std::size_t row, bool exact) {
  if (const auto* texts = std::get_if<std::vector<std::string>>(&column.values)) {
    return (*texts)[row];
  }
  if (const auto* flags = std::get_if<std::vector<bool>>(&column.values)) {
    return (*flags)[row] ? "true" : "false";
  }
  const double number = std::get<std::vector<double>>(column.values)[row];
  if (exact) return Digits(number);
  if (std::isnan(number)) return "-";
  char text[32];
  std::snprintf(text, sizeof text, "%.5g", number == 0.0 ? 0.0 : number);
  return text;
}

std::vector<std::vector<std::string>> CellsOf(const ResultTable& table, bool exact) {
  std::vector<std::vector<std::string>> rows(1 + table.names.size());
  rows[0].push_back("name");
  for (const Column& column : table.columns) rows[0].push_back(column.Heading());
  for (std::size_t i = 0; i < table.names.size(); ++i) {
    rows[i + 1].push_back(table.names[i]);
    for (const Column& column : table.columns) rows[i + 1].push_back(Cell(column, i, exact));
  }
  return rows;
}

std::string ShownScalar(const Scalar& scalar) {
  if (const double* number = std::get_if<double>(&scalar)) return Digits(*number);
  return std::get<std::string>(scalar);
}

}  // namespace

OutputFile::OutputFile(const std::string& path) : path_(path) {
  if (path.empty()) {
    file_ = STDOUT_FILENO;
  } else if (IsSpecial(path)) {
    file_ = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  } else {
    path_ = Resolved(path);
    temporary_ = path_ + ".XXXXXX";
    file_ = ::mkstemp(temporary_.data());
  }
  if (file_ >= 0) return;
  temporary_.clear();
  throw Failure("cannot write " + path);
}

OutputFile::~OutputFile() {
  if (file_ >= 0 && file_ != STDOUT_FILENO) ::close(file_);
  if (!temporary_.empty()) ::unlink(temporary_.c_str());
}

void OutputFile::Write(const std::string& text) {
  if (!wanted_ || WriteAll(file_, text)) return;
  if (errno != EPIPE) throw Failure("cannot write " + (path_.empty() ? "standard output" : path_));
  wanted_ = false;
}

void OutputFile::Finish() {
  if (temporary_.empty()) return;
  bool done = ::fchmod(file_, ModeFor(path_)) == 0 && ::fsync(file_) == 0;
  done = (::close(std::exchange(file_, -1)) == 0) && done;
  done = done && ::rename(temporary_.c_str(), path_.c_str()) == 0;
  if (!done) throw Failure("cannot write " + path_);
  temporary_.clear();
}

void WriteOutput(const std::string& text, const std::string& path) {
  OutputFile file(path);
  file.Write(text);
  file.Finish();
}

std::string AsText(const ResultTable& table) {
  std::string columns = "l";
  for (const Column& column : table.columns) {
    columns += std::holds_alternative<std::vector<double>>(column.values) ? 'r' : 'l';
  }
  TextTable text({.columns = columns, .indent = 0, .gap = 2});
  for (auto& row : CellsOf(table, false)) text.Add(std::move(row));
  return text.Text();
}

std::string AsCsv(const ResultTable& table) {
  std::string text;
  for (const auto& row : CellsOf(table, true)) {
    for (std::size_t c = 0; c < row.size(); ++c) text += (c == 0 ? "" : ",") + QuotedForCsv(row[c]);
    text += "\n";
  }
  return text;
}

std::string Digits(double value) {
  if (std::isnan(value)) return "";
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value == 0.0 ? 0.0 : value).ptr;
  return std::string(text, end);
}

std::string Shown(const Value& value) {
  if (const bool* on = std::get_if<bool>(&value)) return *on ? "true" : "false";
  if (const double* number = std::get_if<double>(&value)) return Digits(*number);
  if (const std::string* text = std::get_if<std::string>(&value)) return *text;
  std::vector<std::string> rows;
  for (const auto& [first, second] : std::get<Rows>(value)) {
    rows.push_back(ShownScalar(first) + ": " + ShownScalar(second));
  }
  return "{" + Joined(rows, ", ") + "}";
}

std::string Count(std::size_t n, const std::string& what) {
  return std::to_string(n) + " " + what + (n == 1 ? "" : "s");
}

}  // namespace handwheel::shell
