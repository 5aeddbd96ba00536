# complete.sh - what bash offers at the end of each line given, by the completion script itself.
# SPDX-License-Identifier: GPL-3.0-or-later
complete_line() {
    read -ra COMP_WORDS <<<"$1"
    case $1 in *" ") COMP_WORDS+=("") ;; esac
    COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
    _beltwright
    echo "$1 -> ${COMPREPLY[*]}"
}
eval "$(beltwright-toy completion bash)"
compopt() { :; } # works only within a real completion
for line; do complete_line "$line"; done
