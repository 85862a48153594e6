# make demo and make test need Go and make alone; crosscheck needs the Debian
# packages that .ci/run installs.

BIN := bin/gridwright
OUT := out

.PHONY: all build demo test lint race crosscheck bench mutate dist man clean

all: build

build:
	go build -trimpath -o $(BIN) ./cmd/gridwright

demo: build
	@mkdir -p $(OUT)
	@echo "== a design that places nothing: pick chooses"
	$(BIN) pick designs/feed-screw-open.yaml -o $(OUT)/feed-screw.yaml
	@echo
	@echo "== what the chosen arrangement gives"
	$(BIN) predict $(OUT)/feed-screw.yaml
	@echo
	@echo "== a proposed bridge with a wiring mistake: check names the right order"
	$(BIN) check designs/test-arm-miswired.yaml || test $$? -eq 1
	@echo
	$(BIN) sheet $(OUT)/feed-screw.yaml -o $(OUT)/feed-screw.pdf
	$(BIN) sheet designs/agitator-tube.yaml -o $(OUT)/agitator-tube.pdf
	@echo "The design sheets are $(OUT)/feed-screw.pdf and $(OUT)/agitator-tube.pdf"

test:
	go vet ./...
	go test -timeout 20m ./...

# against programs not written here: ngspice, GNU units, poppler, qpdf, numpy, Gmsh,
# CalculiX; and the long runs. Packages without such tests are not run again.
crosscheck:
	go test -tags crosscheck -timeout 20m ./internal/...

bench: build
	go test -run '^$$' -bench . -benchmem ./internal/...
	@go test -tags crosscheck -count=1 -run Numpy -v ./internal/uncertainty | grep ratio || echo 'no ratio to numpy: /usr/bin/python3 has no numpy (.ci/run installs it)'

# static analysis with pinned tools of the module proxy; known faults of modules
# are looked up where the database can be reached
lint:
	go vet ./...
	go run honnef.co/go/tools/cmd/staticcheck@v0.8.2 ./...
	@go run golang.org/x/vuln/cmd/govulncheck@v1.9.0 ./cmd/gridwright || test $$? -ne 3

# what runs on several cores, under the race detector
race:
	go test -race -count=1 ./internal/model ./internal/readout
	go test -race -count=1 -run 'Workers|AnyCores|AnyNumber|Deterministic' ./internal/uncertainty ./internal/variant ./internal/sizing ./internal/diagnosis ./internal/pick

# break lines of the physics one at a time and see whether the tests notice
mutate:
	go run ./internal/mutation -list testdata/mutations.txt

# manual pages
man:
	go run ./cmd/manual $(OUT)/man

# static binaries, the same bytes on every machine with the same Go, their
# checksums and a bill of materials
VERSION := $(shell sed -n 's/^const Version = "\(.*\)"/\1/p' internal/dossier/*.go)
TARGETS := linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64
dist:
	@rm -rf dist && mkdir -p dist
	@set -e; for t in $(TARGETS); do \
	  os=$${t%/*}; arch=$${t#*/}; name=gridwright-$(VERSION)-$$os-$$arch; \
	  case $$os in darwin) name=gridwright-$(VERSION)-macos-$$arch;; windows) name=$$name.exe;; esac; \
	  echo "dist/$$name"; \
	  CGO_ENABLED=0 GOOS=$$os GOARCH=$$arch go build -trimpath -buildvcs=false -ldflags '-s -w -buildid=' -o dist/$$name ./cmd/gridwright; \
	done
	go run github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0 app -main cmd/gridwright -json -noserial -notimestamp -output dist/bill-of-materials.json .
	cd dist && sha256sum gridwright-* > SHA256SUMS && cat SHA256SUMS

clean:
	rm -rf bin dist $(OUT)
