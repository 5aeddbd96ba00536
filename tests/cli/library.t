# The shared library, used by the example in docs/.

$ library_example | head -n 1
libbeltwright 0.1.0
? 0

$ library_example nosuchstudy </dev/null
{
  "shape": "error/1",
  "code": "not-found",
  "what": "there is no study of that name",
  "value": "nosuchstudy",
  "mend": "beltwright_list names the studies"
}
? 2

$ name=$(library_example | sed -n 's/.*"name": "\(.*\)".*/\1/p' | head -n 1); echo '{"nosuchfield": 1}' | library_example "$name" | grep code
  "code": "input",
? 0
