// Makes an HDF5 file with nothing in it: what any program with a record takes.

#include <hdf5.h>

int main(int argc, char** argv) {
  if (argc != 2)
    return 2;
  const hid_t file = H5Fcreate(argv[1], H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT);
  return file < 0 || H5Fclose(file) < 0 ? 1 : 0;
}
