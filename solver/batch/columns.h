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
    // A number that no rule looks at together with others: to set it, its range is all to check.
    bool is_plain;
  };

  // Throws SettingError.
  BatchColumns(const Network& network, const std::vector<std::string>& targets);

  std::size_t size() const { return columns_.size(); }
  const std::string& target(std::size_t column) const { return targets_[column]; }
  const std::vector<Column>& columns() const { return columns_; }
  // The parts and sections that are set, each once.
  const std::vector<PartPlace>& parts() const { return parts_; }
  // Whether plain columns are all that sets a part.
  bool IsPlain(std::size_t part) const { return part_is_plain_[part]; }

 private:
  std::vector<std::string> targets_;
  std::vector<Column> columns_;
  std::vector<PartPlace> parts_;
  std::vector<bool> part_is_plain_;
};

// The network of one scenario after another. One per thread.
class ScenarioNetwork {
 public:
  ScenarioNetwork(const Network& base, const BatchColumns& columns);

  // The base network with one row of values set, all of them or, with the reason, none.
  bool Set(std::span<const BatchValues> values, std::size_t row, std::string* reason);
  // Whether the parts that were set hold water, as far as their neighbours do not matter.
  bool PartsAreValid() const;

  const Network& network() const { return network_; }
  const void* Part(std::size_t part) const { return parts_[part]; }
  bool IsHandValve(std::size_t part) const { return columns_.parts()[part].kind->name == "valve"; }

 private:
  void Reset(bool plain_too);
  bool SetPlain(std::size_t column, const BatchValues& values, std::size_t row);

  const Network& base_;
  const BatchColumns& columns_;
  Network network_;
  std::vector<void*> parts_;      // of network_
  std::vector<double*> numbers_;  // by plain column
};

}  // namespace handwheel
