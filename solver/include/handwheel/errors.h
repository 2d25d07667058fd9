#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace handwheel {

// A caller's mistake. Always thrown before any solving starts; numerical outcomes are reported in a
// summary instead. Becomes a ValueError in Python.
class Error : public std::invalid_argument {
 public:
  using std::invalid_argument::invalid_argument;
};

// A quantity that cannot be read: no number, an unknown unit, or a unit of another dimension.
class UnitError : public Error {
 public:
  using Error::Error;
};

// A network that contradicts itself or has no solution: a dangling or duplicate name, a value out
// of range, a draw that can reach no vessel. `component` and `key` say where, as far as known.
class NetworkError : public Error {
 public:
  explicit NetworkError(const std::string& message, std::string component = {},
                        std::string key = {})
      : Error(message), component_(std::move(component)), key_(std::move(key)) {}
  const std::string& component() const { return component_; }
  const std::string& key() const { return key_; }

 private:
  std::string component_;
  std::string key_;
};

// A setting that names no component or property, or gives it a value it cannot take.
class SettingError : public Error {
 public:
  using Error::Error;
};

// A network file that cannot be used. The message starts with "file:line:column: ".
class FileError : public Error {
 public:
  FileError(const std::string& message, std::string file, int line, int column)
      : Error(message), file_(std::move(file)), line_(line), column_(column) {}
  const std::string& file() const { return file_; }
  int line() const { return line_; }      // 1-based; 0 if the whole file is meant
  int column() const { return column_; }  // 1-based; 0 if the whole line is meant

 private:
  std::string file_;
  int line_;
  int column_;
};

}  // namespace handwheel
