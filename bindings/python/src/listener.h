#pragma once

#include <pybind11/pybind11.h>

#include <chrono>
#include <optional>
#include <utility>

namespace handwheel::python {

// Tells Python about the progress of what runs without Python's lock, and stops it when Ctrl-C was
// pressed, the progress function returned False, or it raised.
class Listener {
 public:
  explicit Listener(pybind11::object progress) : progress_(std::move(progress)) {}

  // Without the lock held. False: stop.
  template <typename... News>
  bool Tell(const News&... news) {
    if (progress_.is_none()) return KeepGoing();
    pybind11::gil_scoped_acquire lock;
    try {
      Look();
      const pybind11::object answer = progress_(news...);
      return !answer.equal(pybind11::bool_(false));
    } catch (pybind11::error_already_set& error) {
      raised_.emplace(error);
      return false;
    }
  }

  // The same with nothing to tell; takes the lock only now and then.
  bool KeepGoing() {
    const auto now = Clock::now();
    if (raised_ || now - last_look_ < kBetweenLooks) return !raised_;
    pybind11::gil_scoped_acquire lock;
    try {
      Look();
      return true;
    } catch (pybind11::error_already_set& error) {
      raised_.emplace(error);
      return false;
    }
  }

  // With the lock held.
  void RethrowIfRaised() {
    if (raised_) throw *raised_;
  }

 private:
  using Clock = std::chrono::steady_clock;
  static constexpr auto kBetweenLooks = std::chrono::milliseconds(50);

  void Look() {
    last_look_ = Clock::now();
    if (PyErr_CheckSignals() != 0) throw pybind11::error_already_set();
  }

  pybind11::object progress_;
  Clock::time_point last_look_ = Clock::now();
  std::optional<pybind11::error_already_set> raised_;
};

}  // namespace handwheel::python
