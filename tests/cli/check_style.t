# The style check itself: a tree without faults, and one with every fault there is.
$ check_style --sizes tests/fixtures/style/good
? 0
$ check_style tests/fixtures/style/bad
? 0
$ check_style tests/fixtures/style/nowhere
? 0
$ check_style
? 0
