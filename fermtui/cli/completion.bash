# fermtui for bash: put this into a file that bash reads, or `eval "$$(fermtui completion bash)"`
_fermtui() {
    local word="$${COMP_WORDS[COMP_CWORD]}" command="" vessel="" at
    for ((at = 1; at < COMP_CWORD; at++)); do
        case "$${COMP_WORDS[at]}" in
            -*) ;;
            *) if [ -z "$$command" ]; then command="$${COMP_WORDS[at]}"; elif [ -z "$$vessel" ]; then vessel="$${COMP_WORDS[at]}"; fi ;;
        esac
    done
    local words=""
    if [ -z "$$command" ]; then
        words="$commands $opening"
    elif [[ "$$word" == -* ]]; then
        case "$$command" in
$options
        esac
    elif [ -z "$$vessel" ]; then
        case "$$command" in
            $vessels) words="$$(fermtui completion vessels 2>/dev/null)" ;;
        esac
    else
        case "$$command" in
            $tasks) words="$$(fermtui completion tasks "$$vessel" 2>/dev/null)" ;;
            $of_kinds) words="$kinds" ;;
        esac
    fi
    mapfile -t COMPREPLY < <(compgen -W "$$words" -- "$$word")
}
complete -o default -F _fermtui fermtui
