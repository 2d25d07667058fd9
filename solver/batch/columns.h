#pragma once

#include <optional>
#include <string>
#include <vector>

#include "handwheel/batch.h"
#include "network/draft.h"

namespace handwheel {

// What the targets of a batch stand for: resolved once.
class BatchColumns {
 public:
  struct Column {
    std::size_t part;  // into parts()
    const Field* field;
  };

  // Throws SettingError.
  BatchColumns(const Network& network, const std::vector<std::string>& targets);

  std::size_t size() const { return columns_.size(); }
  const std::string& target(std::size_t column) const { return targets_[column]; }
  const std::vector<Column>& columns() const { return columns_; }
  // The parts and sections that are set, each once.
  const std::vector<PartPlace>& parts() const { return parts_; }

 private:
  std::vector<std::string> targets_;
  std::vector<Column> columns_;
  std::vector<PartPlace> parts_;
};

// The network of one scenario after another. One per thread.
class ScenarioNetwork {
 public:
  ScenarioNetwork(const Network& base, const BatchColumns& columns)
      : base_(base), columns_(columns), network_(base) {}

  // The base network with one row of values set, all of them or, with the reason, none.
  bool Set(std::span<const BatchValues> values, std::size_t row, std::string* reason);
  const Network& network() const { return network_; }

 private:
  void Reset();
  void* PartAt(std::size_t part);

  const Network& base_;
  const BatchColumns& columns_;
  Network network_;
};

}  // namespace handwheel
