#include "file/whole_file.h"

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <random>
#include <system_error>

#include "file/scan.h"
#include "text/cat.h"

namespace handwheel {
namespace {

namespace fs = std::filesystem;

// A file beside the target that vanishes again unless it has taken the target's place.
class NeighbourFile {
 public:
  explicit NeighbourFile(const fs::path& target) : target_(target), path_(target) {
    std::random_device random;
    path_ += Cat(".", std::to_string(random()), ".part");
  }
  ~NeighbourFile() {
    std::error_code ignored;
    if (!path_.empty()) fs::remove(path_, ignored);
  }
  NeighbourFile(const NeighbourFile&) = delete;
  NeighbourFile& operator=(const NeighbourFile&) = delete;

  bool Write(const std::string& text) const {
    std::ofstream stream(path_, std::ios::binary | std::ios::trunc);
    stream.write(text.data(), static_cast<std::streamsize>(text.size()));
    stream.close();
    return !stream.fail();
  }

  std::error_code TakePlace() {
    std::error_code error;
    const fs::file_status old = fs::status(target_, error);
    if (fs::exists(old)) {
      fs::permissions(path_, old.permissions(), error);
      if (error) return error;
    }
    error.clear();
    fs::rename(path_, target_, error);
    if (!error) path_.clear();
    return error;
  }

 private:
  fs::path target_;
  fs::path path_;
};

// A link is kept and what it points to replaced.
fs::path BehindLinks(const fs::path& path) {
  std::error_code error;
  const fs::path real = fs::canonical(path, error);
  return error ? path : real;
}

[[noreturn]] void ThrowUnwritable(const std::string& path, const std::string& why) {
  ThrowAt(path, 0, 0, Cat("the file cannot be written: ", why, "."));
}

}  // namespace

void WriteWholeFile(const std::string& text, const std::string& path) {
  if (path.empty() || path.find('\0') != std::string::npos) {
    ThrowUnwritable(path, "it has no usable name");
  }
  std::error_code error;
  if (fs::is_directory(path, error)) ThrowUnwritable(path, "it is a directory");
  NeighbourFile neighbour(BehindLinks(path));
  errno = 0;
  if (!neighbour.Write(text)) {
    ThrowUnwritable(path, errno == 0 ? "unknown reason" : std::generic_category().message(errno));
  }
  error = neighbour.TakePlace();
  if (error) ThrowUnwritable(path, error.message());
}

}  // namespace handwheel
