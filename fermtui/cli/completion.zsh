#compdef fermtui
# fermtui for zsh: put this as `_fermtui` into a folder of your fpath, or `eval "$$(fermtui completion zsh)"`
_fermtui() {
    local -a commands
    commands=(
$described
    )
    if (( CURRENT == 2 )); then
        _describe -t commands command commands
        compadd -- $opening
        return
    fi
    if [[ "$$words[CURRENT]" == -* ]]; then
        case "$$words[2]" in
$options
        esac
        return
    fi
    case "$$words[2]" in
        $tasks)
            if (( CURRENT == 3 )); then compadd -- $${(f)"$$(fermtui completion vessels 2>/dev/null)"}
            else compadd -- $${(f)"$$(fermtui completion tasks "$$words[3]" 2>/dev/null)"}; fi ;;
        $of_kinds)
            if (( CURRENT == 3 )); then compadd -- $${(f)"$$(fermtui completion vessels 2>/dev/null)"}
            else compadd -- $kinds; fi ;;
        $vessels) compadd -- $${(f)"$$(fermtui completion vessels 2>/dev/null)"} ;;
        *) _files ;;
    esac
}
compdef _fermtui fermtui
