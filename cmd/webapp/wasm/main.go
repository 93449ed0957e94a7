//go:build js

// Wasm is the engine of the app: it gives the worker of the page the functions of
// package app.
package main

import (
	"context"
	"encoding/json"
	"runtime/debug"
	"syscall/js"

	"swardcast/cmd/internal/app"
)

func main() {
	// 27 MB after a round of eight questions instead of 34, at no cost in time that was seen.
	debug.SetGCPercent(50)
	var session app.Session
	js.Global().Set("swardcast", map[string]any{
		// put(name, Uint8Array) keeps a file and returns {name} or {message}.
		"put": js.FuncOf(func(_ js.Value, args []js.Value) any {
			content := make([]byte, args[1].Length())
			js.CopyBytesToGo(content, args[1])
			name, err := session.Put(args[0].String(), content)
			if err != nil {
				return map[string]any{"message": err.Error()}
			}
			return map[string]any{"name": name}
		}),
		// drop(name) drops one file.
		"drop": js.FuncOf(func(_ js.Value, args []js.Value) any {
			session.Drop(args[0].String())
			return nil
		}),
		// forget() drops every file.
		"forget": js.FuncOf(func(js.Value, []js.Value) any {
			session.Forget()
			return nil
		}),
		// stations(Uint8Array) takes the list of stations in its compact form.
		"stations": js.FuncOf(func(_ js.Value, args []js.Value) any {
			packed := make([]byte, args[0].Length())
			js.CopyBytesToGo(packed, args[0])
			if err := session.SetStations(packed); err != nil {
				return map[string]any{"message": err.Error()}
			}
			return map[string]any{}
		}),
		// find(text, whether metric) returns {stations: JSON}.
		"find": js.FuncOf(func(_ js.Value, args []js.Value) any {
			text, err := json.Marshal(session.Find(args[0].String(), args[1].Bool()))
			if err != nil {
				return map[string]any{"message": err.Error()}
			}
			return map[string]any{"stations": string(text)}
		}),
		// ask(JSON of a request) returns {reply: JSON, answer: Uint8Array}.
		"ask": js.FuncOf(func(_ js.Value, args []js.Value) any {
			var r app.Request
			if err := json.Unmarshal([]byte(args[0].String()), &r); err != nil {
				return map[string]any{"message": err.Error()}
			}
			reply := session.Ask(context.Background(), r)
			text, err := json.Marshal(reply)
			if err != nil {
				return map[string]any{"message": err.Error()}
			}
			answer := js.Global().Get("Uint8Array").New(len(reply.Answer))
			js.CopyBytesToJS(answer, reply.Answer)
			return map[string]any{"reply": string(text), "answer": answer}
		}),
	})
	select {}
}
