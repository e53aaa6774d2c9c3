#pragma once

#include <Eigen/Dense>
#include <vector>
#include <vlm/flow/helper.hpp>
